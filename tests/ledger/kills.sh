#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# All rounds of killing a writer at random moments: kills.sh [PROGRAM]. CI runs some of them.
exec env BRAIRD_KILLS="${BRAIRD_KILLS:-1000}" "${1:-build/tests/ledger/ledger_test}" --test-case='killed at any moment*'
