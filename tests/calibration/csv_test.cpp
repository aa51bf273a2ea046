// SPDX-License-Identifier: Apache-2.0
#include "calibration/csv.h"

#include <doctest/doctest.h>

#include <sstream>
#include <stdexcept>

using namespace braird;

namespace {

std::vector<CsvRow> rows_of(const std::string& text) {
  std::istringstream in(text);
  return read_csv(in);
}

using Fields = std::vector<std::string>;

}  // namespace

TEST_CASE("as spreadsheets write it: byte-order mark, CRLF, blanks, no last newline") {
  const auto rows = rows_of("\xEF\xBB\xBFlot, sown\r\nA ,1\r\n\r\n,,\r\nB,2");
  REQUIRE(rows.size() == 3);
  CHECK(rows[0].fields == Fields{"lot", "sown"});
  CHECK(rows[1].fields == Fields{"A", "1"});
  CHECK(rows[2].fields == Fields{"B", "2"});
  CHECK(rows[2].line == 5);
}

TEST_CASE("a first line that tells the separator; lines that end with CR alone") {
  const auto rows = rows_of("sep=;\r\nlot;note, if any\r\nA;1,5\r\n");
  REQUIRE(rows.size() == 2);
  CHECK(rows[0].fields == Fields{"lot", "note, if any"});
  CHECK(rows[1].fields == Fields{"A", "1,5"});
  CHECK(rows[1].line == 3);
  CHECK(rows_of("sep=").size() == 1);
  CHECK(rows_of("sep=\n").empty());
  const auto old = rows_of("lot,sown\rA,1\rB,2\r");
  REQUIRE(old.size() == 3);
  CHECK(old[2].fields == Fields{"B", "2"});
}

TEST_CASE("published: quotes by RFC 4180, with commas, doubled quotes and line ends inside") {
  const auto rows = rows_of("a,\"b, c\",\"d \"\"e\"\"\"\n\"f\ng\",h\nlast,row\n");
  CHECK(rows[0].fields == Fields{"a", "b, c", "d \"e\""});
  CHECK(rows[1].fields == Fields{"f\ng", "h"});
  CHECK(rows[2].line == 4);
}

TEST_CASE("semicolons and tabs where the first line has no comma") {
  CHECK(rows_of("lot;sown\nA;1,5\n")[1].fields == Fields{"A", "1,5"});
  CHECK(rows_of("lot\tsown\nA\t1\n")[1].fields == Fields{"A", "1"});
}

TEST_CASE("no field is lost: a row of more than the first is told, but not for blanks at its end") {
  CHECK(rows_of("a,b\n1,2,,\n").back().fields == Fields{"1", "2"});
  CHECK_THROWS_WITH(rows_of("a,b\n1,2\n1,2,5\n"),
                    doctest::Contains("line 3: 3 fields where the first line has 2"));
}

TEST_CASE("nothing, and a quote without an end") {
  CHECK(rows_of("").empty());
  CHECK(rows_of("\n\n").empty());
  CHECK_THROWS_WITH_AS(rows_of("a,b\nc,\"d\n"), "line 2: a quote is opened but never closed",
                       std::invalid_argument);
}
