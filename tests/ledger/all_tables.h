// SPDX-License-Identifier: Apache-2.0
// The whole ledger as tables.
#pragma once

#include "calibration/ledger/transfer.h"

namespace braird::test {

inline ledger::Tables all_tables(const ledger::Ledger& ledger) {
  ledger::Tables tables;
  for (const std::string& name : ledger::table_names()) tables[name] = export_table(ledger, name);
  return tables;
}

}  // namespace braird::test
