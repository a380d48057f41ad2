// SPDX-License-Identifier: MIT
// Published joist spans (IRC 2018 Table R802.5.1(2) and a page of No. 2 floor joists; the source stands in each row),
// by a table of largest spans alone: species by species over grade, size and spacing.
#include <doctest/doctest.h>

#include <cmath>
#include <map>
#include <set>

#include "engine/trial/vary.h"
#include "tests/sheets/sheet_case.h"

using namespace spanwright;
using spanwright::sheets_test::libraryInMemory;
using spanwright::sheets_test::readRows;

namespace {

std::string listed(const std::set<std::string>& values, const std::string& unit = "") {
    std::string out;
    for (const std::string& v : values) out += (out.empty() ? "" : ", ") + v + unit;
    return out;
}

} // namespace

TEST_CASE("published span tables come out to the inch from a table of largest spans") {
    using Row = std::map<std::string, std::string>;
    std::map<std::string, std::vector<Row>> pages; // one for each species and loading
    for (const Row& row : readRows("tests/reference/us/joist_rafter_spans_published.csv"))
        pages[row.at("species") + "|" + row.at("live_psf") + "|" + row.at("dead_psf") + "|" + row.at("deflection_limit_on_live")].push_back(row);
    CHECK(pages.size() >= 8);
    io::Memory files = libraryInMemory();
    std::size_t cells = 0;
    int onTheHalf = 0;
    for (const auto& [key, rows] : pages) {
        const Row& any = rows.front();
        files.files["work/job.spanjob"] =
            "job Spans\nmember M = us/floor-joist\nwith L = 8 ft\nwith size = 2x8\nwith species = " + any.at("species") +
            "\nwith grade = #2\nwith duration = occupancy\nwith repetitive = yes\nwith held = yes\nwith weigh = no\nwith span_rule = tables\nwith dead = " +
            any.at("dead_psf") + " psf\nwith live = " + any.at("live_psf") +
            " psf\nwith n_total = 1\nwith n_live = " + any.at("deflection_limit_on_live").substr(2) + "\n";
        const auto job = job::Job::open(files, "work/job.spanjob", {.library = "library", .cancelled = {}});
        std::set<std::string> grades, sizes, spacings;
        for (const Row& row : rows) {
            grades.insert(row.at("grade"));
            sizes.insert(row.at("size"));
            spacings.insert(row.at("spacing_in"));
        }
        trial::VaryRequest request;
        request.over = {"M.grade in " + listed(grades), "M.size in " + listed(sizes), "M.s in " + listed(spacings, " in")};
        request.aim = trial::Aim::Largest;
        request.reach = "M.L from 1 ft to 40 ft";
        const auto made = trial::vary(*job, request, {});
        REQUIRE_MESSAGE(made, made.error().message);
        const trial::VaryTable& table = made.value();
        std::map<std::string, std::size_t> cellOf;
        for (std::size_t i = 0; i < table.results.points; ++i) {
            const auto at = table.indices(i);
            cellOf[table.axes[0].labels[at[0]] + "|" + table.axes[1].labels[at[1]] + "|" + table.axes[2].labels[at[2]]] = i;
        }
        for (const Row& row : rows) {
            const auto cell = cellOf.find(row.at("grade") + "|" + row.at("size") + "|" + row.at("spacing_in") + " in");
            REQUIRE(cell != cellOf.end());
            const double span = table.reached[cell->second].answer / 0.0254;
            const double published = std::stod(row.at("published_span_in"));
            const bool half = std::abs(span - std::floor(span) - 0.5) < 0.02;
            onTheHalf += half ? 1 : 0;
            ++cells;
            INFO(key, " ", row.at("grade"), " ", row.at("size"), " at ", row.at("spacing_in"), " in: ", span, " in, published ", published, ", ended by ",
                 table.reachedStops[cell->second]);
            if (half)
                CHECK(std::abs(span - published) < 0.53); // both neighbours are the nearest inch
            else
                CHECK(std::round(span) == published);
        }
    }
    CHECK(cells == 224);
    CHECK(onTheHalf == 7); // so few that the allowance cannot hide a wrong rule
}
