// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "calibration/ledger/keep.h"
#include "cli/report/gather.h"
#include "cli/report/page.h"
#include "tests/cli/bench.h"

namespace braird::test {

/// A ledger in a folder that goes away.
struct Kept : Bench {
  std::filesystem::path place = folder.path / "l.sqlite";
  ledger::Ledger ledger{place, ledger::Access::write};

  std::string keep(const std::string& name, Tray tray, const std::string& lot,
                   const std::string& sown_on = "2026-04-02",
                   const std::string& taken = "2026-04-09T09:00:00") {
    const std::string photo = file(name, "photo " + name);
    Census census;
    census.photo = {photo, 1000, 800, taken};
    census.trays = {std::move(tray)};
    ledger::keep(ledger, ledger::content_hash(photo), census, {lot, sown_on, {}, false});
    return photo;
  }

  Said say(const std::string& command, std::vector<std::string> arguments) const {
    arguments.insert(arguments.end(), {"--ledger", place.string()});
    return said_by(command, std::move(arguments));
  }

  std::string page_about(const report::Subject& subject) {
    report::PhotoShelf shelf;
    report::Report about = report::gather(ledger, subject, shelf);
    about.made_on = "2026-04-10";
    about.version = "0";
    return report::page(about);
  }
};

}  // namespace braird::test
