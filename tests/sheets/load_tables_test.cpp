// SPDX-License-Identifier: MIT
// The tables of loads and combinations against the reference values (tests/reference/eu/factors_actions.csv says
// which of them were seen in print) and against the rule that made them.
#include <doctest/doctest.h>

#include <map>
#include <string>

#include "tests/sheets/sheet_case.h"

using spanwright::sheets_test::readRows;

namespace {

double at(const std::map<std::string, std::string>& row, const std::string& column) {
    const auto cell = row.find(column);
    return cell == row.end() ? 0.0 : std::stod(cell->second);
}

/// Value of the one row of the reference with that group, item and condition.
double reference(const std::string& group, const std::string& item, const std::string& condition) {
    for (const auto& row : readRows("tests/reference/eu/factors_actions.csv"))
        if (row.at("group") == group && row.at("item") == item && row.at("condition") == condition) return std::stod(row.at("value"));
    FAIL("no such row of the reference: ", group, ", ", item, ", ", condition);
    return 0;
}

} // namespace

TEST_CASE("factors of notch, cracks and bearing are those of the reference") {
    std::map<std::string, std::map<std::string, std::string>> rows;
    for (const auto& row : readRows("sheets/tables/en1995-kn.csv")) rows[row.at("material")] = row;
    REQUIRE(rows.size() == 3);
    for (const char* material : {"solid timber", "glulam", "LVL"}) CHECK(at(rows[material], "k_n") == reference("kn", material, "notch"));
    for (const char* material : {"solid timber", "glulam"}) CHECK(at(rows[material], "k_cr") == reference("kcr", material, "shear width bef = kcr b"));
    CHECK(at(rows["LVL"], "k_cr") == reference("kcr", "other wood-based products", ""));
    CHECK(at(rows["solid timber"], "k_c90_single") == reference("kc90", "discrete supports, l1>=2h", "solid softwood"));
    CHECK(at(rows["solid timber"], "k_c90_plate") == reference("kc90", "continuous support, l1>=2h", "solid softwood"));
    CHECK(at(rows["glulam"], "k_c90_single") == reference("kc90", "discrete supports, l1>=2h, l<=400 mm", "glulam softwood"));
    CHECK(at(rows["glulam"], "k_c90_plate") == reference("kc90", "continuous support, l1>=2h", "glulam softwood"));
    CHECK(at(rows["LVL"], "k_c90_single") == reference("kc90", "general", ""));
}

TEST_CASE("snow exposure and partitions are those of the reference") {
    for (const auto& row : readRows("sheets/tables/en1991-exposure.csv")) CHECK(at(row, "C_e") == reference("snow", "Ce " + row.at("exposure"), ""));
    const std::map<std::string, std::string> walls{{"light", "1.0"}, {"middle", "2.0"}, {"heavy", "3.0"}};
    int seen = 0;
    for (const auto& row : readRows("sheets/tables/en1991-partitions.csv")) {
        const auto wall = walls.find(row.at("partitions"));
        if (wall == walls.end()) continue;
        CHECK(at(row, "q_p") == reference("action", "movable partitions up to " + wall->second + " kN/m", "added to floor load"));
        ++seen;
    }
    CHECK(seen == 3);
}

TEST_CASE("combinations follow EN 1990 Eq. 6.10: one leads at 1.5, others follow by their psi_0, permanent 1.35 or its least") {
    for (const char* file : {"en1990-uls-all", "en1990-uls-low-roof"}) {
        bool permanent = false;
        bool lifts = false;
        for (const auto& row : readRows(std::string("sheets/tables/") + file + ".csv")) {
            INFO(file, ": ", row.at("name"));
            int leading = 0;
            for (const char* action : {"Q", "P", "P_2", "P_3", "O", "O_2", "S", "W", "U"}) {
                CHECK((at(row, action) == 0 || at(row, action) == 1.5));
                leading += at(row, action) == 1.5 ? 1 : 0;
                const double follows = at(row, std::string(action) + "_0");
                CHECK((follows == 0 || follows == 1.5));
                CHECK(at(row, action) * follows == 0); // no action twice
            }
            CHECK(leading <= 1);
            if (leading == 0) {
                permanent = true;
                for (const char* action : {"Q_0", "S_0", "W_0"}) CHECK(at(row, action) == 0);
            }
            if (at(row, "U") > 0) {
                lifts = true;
                CHECK(at(row, "G") == 1.0);
                for (const char* action : {"Q", "Q_0", "P", "P_2", "P_3", "O", "O_2", "S", "S_0", "W", "W_0"})
                    CHECK(at(row, action) == 0); // nothing variable holds it down
            } else {
                CHECK(at(row, "G") == reference("partial factor", "permanent, unfavourable", ""));
            }
        }
        CHECK(permanent);
        CHECK(lifts);
    }
    for (const char* file : {"en1990-equ-all", "en1990-equ-low-roof"})
        for (const auto& row : readRows(std::string("sheets/tables/") + file + ".csv")) CHECK(at(row, "G") == 0.9);
    for (const char* file : {"en1990-sls-all", "en1990-sls-low-roof"})
        for (const auto& row : readRows(std::string("sheets/tables/") + file + ".csv"))
            for (const auto& [column, cell] : row)
                if (column != "name" && column != "what") CHECK((cell == "0" || cell == "1"));
}
