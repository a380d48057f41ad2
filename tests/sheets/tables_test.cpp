// SPDX-License-Identifier: MIT
// The sheets' tables against the reference values, cell by cell, and the honesty of their first lines.
#include <doctest/doctest.h>

#include <cmath>
#include <map>
#include <set>
#include <string>

#include "engine/io/files.h"
#include "tests/sheets/sheet_case.h"

using spanwright::sheets_test::libraryInMemory;
using spanwright::sheets_test::readRows;
using spanwright::sheets_test::readText;

namespace {

double value(const std::map<std::string, std::string>& row, const std::string& column) { return std::stod(row.at(column)); }

} // namespace

TEST_CASE("every table names its source on its first line") {
    const spanwright::io::Disk disk;
    const auto names = disk.list(std::string(SPANWRIGHT_SOURCE_DIR) + "/sheets/tables");
    CHECK(names.size() >= 25);
    for (const std::string& name : names) {
        const std::string text = readText("sheets/tables/" + name);
        INFO(name);
        CHECK(text.substr(0, 2) == "# ");
        CHECK(text.find('\n') > 25);
    }
}

TEST_CASE("the first line of every table of a standard names the edition and says what was not seen in print") {
    // Tables that hold nothing of a standard's: two answers, names of our own.
    const std::set<std::string> ours{"tables/yes-no.csv", "tables/joist-holes.csv"};
    std::size_t seen = 0;
    for (const auto& [path, text] : libraryInMemory().files) {
        const std::string name = path.substr(path.find('/') + 1);
        if (name.rfind("tables/", 0) != 0 || ours.count(name) > 0) continue;
        const std::string head = text.substr(0, text.find('\n'));
        INFO(head);
        CHECK((head.find(":19") != std::string::npos || head.find(":20") != std::string::npos || head.find(" 20") != std::string::npos ||
               head.find("ASCE 7-16") != std::string::npos));
        bool says = false;
        for (const char* word : {"memory", "seen", "printed", "prints", "verified", "proved", "ours"}) says = says || head.find(word) != std::string::npos;
        CHECK(says);
        ++seen;
    }
    CHECK(seen >= 45);
}

TEST_CASE("powers of units are written with their sign in every sheet and table") {
    for (const auto& [path, text] : libraryInMemory().files) {
        for (const char* bare : {"/m2", "/m3", "/mm2", " m2 ", " m3 ", " mm2 ", " mm3 "}) CHECK_MESSAGE(text.find(bare) == std::string::npos, path, ": ", bare);
    }
}

TEST_CASE("strength classes are those of the reference") {
    const std::map<std::string, std::string> columns{{"f_mk", "fm_k"},         {"f_t0k", "ft_0_k"},  {"f_t90k", "ft_90_k"},  {"f_c0k", "fc_0_k"},
                                                     {"f_c90k", "fc_90_k"},    {"f_vk", "fv_k"},     {"E_0mean", "E0_mean"}, {"E_005", "E0_05"},
                                                     {"E_90mean", "E90_mean"}, {"G_mean", "G_mean"}, {"rho_k", "rho_k"},     {"rho_mean", "rho_mean"}};
    int compared = 0;
    for (const auto& [edition, file] : std::map<std::string, std::string>{{"EN 338:2016", "en338.csv"}, {"EN 338:2009", "en338_2009.csv"}}) {
        const auto ours = readRows("sheets/tables/" + file);
        for (const auto& theirs : readRows("tests/reference/eu/strength_classes.csv")) {
            if (theirs.at("edition") != edition) continue;
            for (const auto& row : ours)
                if (row.at("class") == theirs.at("class"))
                    for (const auto& [a, b] : columns) {
                        INFO(edition, " ", row.at("class"), " ", a);
                        CHECK(value(row, a) == value(theirs, b));
                        ++compared;
                    }
            // EN 338 annex A: shear modulus and cross-grain modulus of softwood follow from E_0mean.
        }
        for (const auto& row : ours)
            if (row.at("kind") == "softwood") {
                CHECK(std::abs(value(row, "G_mean") - value(row, "E_0mean") / 16) <= 6);
                CHECK(std::abs(value(row, "E_90mean") - value(row, "E_0mean") / 30) <= 6);
                CHECK(std::abs(value(row, "E_005") - 0.67 * value(row, "E_0mean")) <= 51);
            }
    }
    CHECK(compared == 22 * 12);
}

TEST_CASE("k_mod as the ICE Manual prints it") {
    const char* const durations[] = {"permanent", "long-term", "medium-term", "short-term", "instantaneous"};
    int compared = 0;
    for (const auto& theirs : readRows("tests/reference/eu/factors_actions.csv")) {
        if (theirs.at("group") != "kmod") continue;
        std::string file;
        if (theirs.at("item") == "solid timber, glulam, LVL" || theirs.at("item").substr(0, 7) == "plywood") file = "en1995-kmod-solid.csv";
        if (theirs.at("item") == "OSB/3, OSB/4") file = "en1995-kmod-osb3.csv";
        if (file.empty()) continue;
        for (const auto& row : readRows("sheets/tables/" + file))
            for (const char* d : durations)
                if (theirs.at("condition") == "service class " + row.at("service") + ", " + d) {
                    CHECK(value(row, d) == value(theirs, "value"));
                    ++compared;
                }
    }
    CHECK(compared == 15 + 15 + 10);
}

TEST_CASE("panels are those of the reference") {
    const std::map<std::string, std::string> columns{{"f_t0k", "ft_0_k"},      {"f_t90k", "ft_90_k"},      {"f_c0k", "fc_0_k"},
                                                     {"f_c90k", "fc_90_k"},    {"f_vk", "fv_k"},           {"f_rk", "fr_k"},
                                                     {"E_0mean", "Et_0_mean"}, {"E_90mean", "Et_90_mean"}, {"G_vmean", "Gv_mean"}};
    std::map<std::string, double> reference;
    for (const auto& row : readRows("tests/reference/eu/panels.csv"))
        reference[row.at("product") + "|" + row.at("nominal_mm") + "|" + row.at("symbol")] = value(row, "value");
    const auto product = [](const std::map<std::string, std::string>& row) -> std::string {
        const double t = std::stod(row.at("t"));
        if (row.at("product") == "OSB/3") return std::string("OSB/3 (and OSB/2)|") + (t <= 10 ? ">6-10" : t <= 18 ? ">10-18" : ">18-25");
        return std::string("Finnish ") + row.at("product") + ", 1.4 mm veneers, sanded|" + row.at("t");
    };
    int compared = 0;
    for (const auto& row : readRows("sheets/tables/panels.csv"))
        for (const auto& [a, b] : columns) {
            INFO(row.at("panel"), " ", a);
            const auto found = reference.find(product(row) + "|" + b);
            REQUIRE(found != reference.end());
            CHECK(value(row, a) == found->second);
            ++compared;
        }
    CHECK(compared == 13 * 9);
    // The handbook's rolling shear across the face grain is from memory: it is nowhere above that along it.
    for (const auto& row : readRows("sheets/tables/panels.csv")) {
        CHECK(value(row, "f_r90k") <= value(row, "f_rk"));
        CHECK(value(row, "f_r90k") >= 0.8 * value(row, "f_rk"));
    }
}

TEST_CASE("American design values are those of the reference, and E_min follows from E") {
    const std::map<std::string, std::string> columns{{"F_b", "Fb_psi"}, {"F_t", "Ft_psi"}, {"F_v", "Fv_psi"},     {"F_cp", "Fc_perp_psi"},
                                                     {"F_c", "Fc_psi"}, {"E", "E_psi"},    {"E_min", "Emin_psi"}, {"SG", "G"}};
    int compared = 0;
    const auto same = [&](const std::map<std::string, std::string>& a, const std::map<std::string, std::string>& b) {
        for (const auto& [ours, theirs] : columns) {
            CHECK(value(a, ours) == value(b, theirs));
            ++compared;
        }
    };
    for (const auto& theirs : readRows("tests/reference/us/design_values_table_4A.csv"))
        for (const auto& row : readRows("sheets/tables/nds-4a.csv"))
            if (row.at("species") == theirs.at("species") && row.at("grade") == theirs.at("grade")) same(row, theirs);
    for (const auto& theirs : readRows("tests/reference/us/design_values_table_4B_southern_pine.csv"))
        for (const auto& row : readRows("sheets/tables/nds-4b.csv"))
            if (row.at("size") == theirs.at("size_(width_class)") && row.at("grade") == theirs.at("grade")) same(row, theirs);
    CHECK(compared == (12 + 20) * 8);
    // NDS D4.2-4 for visually graded lumber: E_min = 1.03 E (1 - 1.645*0.25)/1.66, to 10,000 psi.
    for (const char* file : {"nds-4a.csv", "nds-4b.csv", "nds-4a-old.csv", "nds-4b-old.csv"})
        for (const auto& row : readRows(std::string("sheets/tables/") + file))
            CHECK(value(row, "E_min") == 1e4 * std::round(1.03 * value(row, "E") * (1 - 1.645 * 0.25) / 1.66 / 1e4));
    // Superseded Southern pine, verified against older span tables: No. 2 2x10 fell from 1050 to 800 psi.
    int old = 0;
    for (const auto& row : readRows("sheets/tables/nds-4b-old.csv"))
        if (row.at("grade") == "#2" && row.at("size") == "2x10") {
            CHECK(value(row, "F_b") == 1050);
            ++old;
        }
    CHECK(old == 1);
}

TEST_CASE("psi factors, and combinations made of them") {
    std::map<std::string, std::map<std::string, double>> psi;
    for (const auto& row : readRows("sheets/tables/en1990-psi.csv"))
        psi[row.at("category")] = {{"0", value(row, "psi_0")}, {"1", value(row, "psi_1")}, {"2", value(row, "psi_2")}};
    const std::map<std::string, std::string> items{
        {"A", "A domestic, residential"}, {"C", "C congregation"}, {"E", "E storage"}, {"snow-low", "snow, sites up to 1000 m"}, {"wind", "wind"}};
    int compared = 0;
    for (const auto& theirs : readRows("tests/reference/eu/factors_actions.csv"))
        for (const auto& [ours, item] : items)
            if (theirs.at("group").substr(0, 3) == "psi" && theirs.at("item") == item) {
                CHECK(psi.at(ours).at(theirs.at("group").substr(3)) == value(theirs, "value"));
                ++compared;
            }
    CHECK(compared == 15);
    // Eq. 6.10: the leading action with 1.5, the others with 1.5 psi_0; the permanent ones always with 1.35.
    for (const auto& row : readRows("sheets/tables/en1990-uls.csv")) {
        if (row.at("name") == "uplift") continue;
        INFO(row.at("name"));
        CHECK(value(row, "G") == 1.35);
        const std::map<std::string, double> accompany{
            {"Q", 1.5 * psi.at("A").at("0")}, {"S", 1.5 * psi.at("snow-low").at("0")}, {"W", 1.5 * psi.at("wind").at("0")}};
        int leading = 0;
        for (const auto& [action, factor] : accompany) {
            const double f = value(row, action);
            if (f == 1.5)
                ++leading;
            else
                CHECK((f == 0 || f == doctest::Approx(factor)));
        }
        CHECK(leading == (row.at("name") == "permanent" ? 0 : 1));
    }
}
