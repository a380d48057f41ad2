// SPDX-License-Identifier: MIT
// No member is OK with a panel whose printed values are in doubt: the conifer plywood rows repeat the shear
// strengths of birch (tests/reference/eu/panels.csv marks them SUSPECT).
#include <doctest/doctest.h>

#include <string>

#include "tests/sheets/sheet_case.h"

using spanwright::job::CheckView;
using spanwright::job::Verdict;
using spanwright::sheets_test::changed;
using spanwright::sheets_test::readRows;
using spanwright::sheets_test::SheetCase;

namespace {

/// Lightly loaded and in order but for the panel.
SheetCase::Values sound() {
    return {{"L", "4 m"},
            {"form", "halves"},
            {"b", "108 mm"},
            {"h_f", "48 mm"},
            {"slack", "0 mm"},
            {"panel", "birch 12"},
            {"grain", "along"},
            {"grade", "C24"},
            {"service", "2"},
            {"category", "A"},
            {"glue", "EN 301 I GP 0.3"},
            {"place", "shop"},
            {"bond_log", "yes"},
            {"regraded", "yes"},
            {"knots", "yes"},
            {"stiffened", "yes"},
            {"w_G", "0.3 kN/m"},
            {"w_Q", "0.4 kN/m"},
            {"l_c", "0.4 m"},
            {"l_cb", "2 m"},
            {"l_panel", "15 m"},
            {"l_stick", "15 m"},
            {"drains", "no"}};
}

} // namespace

TEST_CASE("a panel's row says whether its values are in doubt, in both columns alike") {
    int doubtful = 0;
    for (const auto& row : readRows("sheets/tables/panels.csv")) {
        const bool suspect = row.at("provenance").find("SUSPECT") != std::string::npos;
        INFO(row.at("panel"));
        CHECK(row.at("proven") == (suspect ? "no" : "yes"));
        doubtful += suspect ? 1 : 0;
    }
    CHECK(doubtful == 4);
}

TEST_CASE("glued beams are never OK with a panel in doubt") {
    for (const char* sheet : {"eu/ply-web-beam", "eu/ridge-beam"}) {
        INFO(sheet);
        SheetCase::Values values = sound();
        if (std::string(sheet) == "eu/ridge-beam")
            for (const auto& depth : SheetCase::Values{{"h_1", "300 mm"}, {"h_r", "360 mm"}, {"F_r_k", "30 kN"}}) values.push_back(depth);
        SheetCase good(sheet, values);
        REQUIRE_MESSAGE(!good.hasErrors(), good.errors());
        CHECK(good.verdict() == Verdict::Ok);
        CHECK(good.check("panel_proven").state == CheckView::State::Passes);
        for (const auto& row : readRows("sheets/tables/panels.csv")) {
            if (row.at("proven") == "yes") continue;
            SheetCase bad(sheet, changed(values, {{"panel", row.at("panel")}}));
            REQUIRE_MESSAGE(!bad.hasErrors(), bad.errors());
            CHECK(bad.check("panel_proven").state == CheckView::State::NotProven);
            CHECK(bad.verdict() == Verdict::NotProven);
        }
    }
}
