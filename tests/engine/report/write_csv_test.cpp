// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "engine/report/write.h"
#include "tests/engine/report/golden.h"

using namespace spanwright::report;

TEST_CASE("the schedule as CSV") {
    const std::string text = writeScheduleCsv(sample::job());
    sample::compareGolden("schedule.csv", text);
    const std::string hostile = writeScheduleCsv(sample::job(sample::hostile));
    // One line a member, whatever the texts hold: line feeds in them are gone and quotes are doubled.
    CHECK(std::count(hostile.begin(), hostile.end(), '\n') == 5);
}
