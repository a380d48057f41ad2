// SPDX-License-Identifier: MIT
// The pictures of the pages: the sheets' own sketches, drawn for members of the example job. A picture that is not what the
// sheet draws today fails; SPANWRIGHT_UPDATE_GOLDEN=1 writes them anew.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <set>
#include <string>

#include "engine/report/build.h"
#include "engine/report/write.h"
#include "tests/sheets/sheet_case.h"

using namespace spanwright;

namespace {

const std::string kRoot = SPANWRIGHT_SOURCE_DIR;

struct Picture {
    std::string sheet, member;
};

/// A member of the example that shows its sheet best; every ready sheet has one.
const Picture kPictures[] = {
    {"eu/area-loads", "A2"},   {"eu/roof-joist", "R2"},      {"eu/uplift-tie", "U1"},  {"eu/header", "H2"},       {"eu/stud", "S1"},
    {"eu/bearing", "C1"},      {"eu/notch", "N1"},           {"eu/floor-joist", "J2"}, {"eu/ply-web-beam", "B1"}, {"eu/nailed-ply-web-beam", "B1N"},
    {"eu/glulam-beam", "B1G"}, {"eu/bought-i-joist", "J1I"}, {"eu/ridge-beam", "R1"},  {"eu/splice", "K1"},       {"eu/nails-and-screws", "K2"},
    {"us/floor-joist", "J1U"}, {"us/area-loads", "AU"},      {"us/header", "H1U"},     {"us/post", "S1U"},        {"us/notch", "N1U"},
};

std::string read(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

std::string stem(std::string sheet) {
    std::replace(sheet.begin(), sheet.end(), '/', '-');
    return sheet;
}

} // namespace

TEST_CASE("every ready sheet has pictures that are current, on a page that the list of sheets leads to") {
    const io::Disk disk;
    job::Options options;
    options.library = kRoot + "/sheets";
    io::Disk files;
    const auto job = job::Job::open(files, kRoot + "/examples/packing-shed/packing-shed.spanjob", options);
    job->calculate();
    const bool write = std::getenv("SPANWRIGHT_UPDATE_GOLDEN") != nullptr;
    const std::string list = sheets_test::readText("sheets/README.md");
    std::string pages;
    for (const std::string& name : disk.list(kRoot + "/sheets")) {
        if (name.size() < 3 || name.substr(name.size() - 3) != ".md" || name == "README.md") continue;
        CHECK_MESSAGE(list.find("(" + name + ")") != std::string::npos, name);
        pages += sheets_test::readText("sheets/" + name);
    }
    std::set<std::string> drawn;
    for (const Picture& p : kPictures) {
        CAPTURE(p.sheet);
        const auto member = job->memberByMark(p.member);
        REQUIRE(member);
        REQUIRE(job->member(*member).sheetName == p.sheet);
        CHECK(list.find("| `" + p.sheet + "` |") != std::string::npos);
        int n = 0;
        for (const meaning::Quantity& q : job->sheet(*member).quantities) {
            if (q.kind != meaning::Kind::Sketch || !job->value(*member, q.id).known()) continue;
            const auto sketch = job->sketch(*member, q.id);
            REQUIRE(sketch);
            CHECK(sketch->leftOut.empty());
            const std::string name = stem(p.sheet) + "-" + std::to_string(++n) + ".svg";
            const std::string svg = report::writeSvg(report::sketchDrawing(*sketch), stem(p.sheet), true);
            const std::string path = kRoot + "/sheets/pictures/" + name;
            if (write) std::ofstream(path, std::ios::binary) << svg;
            CHECK_MESSAGE(read(path) == svg, name);
            CHECK_MESSAGE(pages.find("(pictures/" + name + ")") != std::string::npos, name);
            drawn.insert("pictures/" + name);
        }
        CHECK(n > 0);
    }
    // None without its sheet, and none of the sheets without a picture.
    for (const std::string& name : disk.list(kRoot + "/sheets")) {
        if (name.rfind("pictures/", 0) == 0) CHECK_MESSAGE(drawn.count(name) == 1, name);
        const std::string ending = ".spansheet";
        if (name.size() < ending.size() || name.substr(name.size() - ending.size()) != ending) continue;
        const std::string sheet = name.substr(0, name.size() - ending.size());
        CHECK_MESSAGE(std::any_of(std::begin(kPictures), std::end(kPictures), [&](const Picture& p) { return p.sheet == sheet; }), sheet);
    }
}
