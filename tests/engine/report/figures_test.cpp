// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <set>
#include <string>

#include "engine/report/build.h"
#include "engine/report/write.h"
#include "tests/engine/report/golden.h"

using namespace spanwright::report;
using spanwright::job::PlotView;

namespace {

std::string labels(const Drawing& d) {
    std::string out;
    for (const Drawing::Shape& s : d.shapes) {
        if (const auto* t = std::get_if<Drawing::Text>(&s)) out += t->text + "\n";
    }
    return out;
}

std::size_t lines(const Drawing& d, std::size_t points) {
    std::size_t n = 0;
    for (const Drawing::Shape& s : d.shapes) {
        if (const auto* p = std::get_if<Drawing::Polyline>(&s); p != nullptr && p->points.size() >= points) ++n;
    }
    return n;
}

} // namespace

TEST_CASE("a plot labels its units and its extremes") {
    const PlotView plot = *sample::job().members[0].rows[2].plot;
    const Drawing d = plotDrawing(plot);
    const std::string text = labels(d);
    // 0.65 kN/m * 1.8 m * 1.8 m at midspan of 3.6 m.
    CHECK(text.find("2.106 kN·m at x = 1.8 m") != std::string::npos);
    CHECK(text.find("x in m") != std::string::npos);
    CHECK(text.find("uls 2") != std::string::npos);
    sample::compareGolden("plot.svg", writeSvg(d, "p", true));
}

TEST_CASE("the names of the axis stand clear of the label of what is least") {
    PlotView plot;
    plot.xName = "x";
    plot.xUnit = "m";
    plot.x = {0, 1, 2};
    plot.curves = {{"", {0, -1, 2}}};
    const Drawing d = plotDrawing(plot);
    double least = 0;
    double axis = 0;
    for (const Drawing::Shape& s : d.shapes) {
        const auto* t = std::get_if<Drawing::Text>(&s);
        if (t != nullptr && t->text == "-1 at x = 1 m") least = t->at.y;
        if (t != nullptr && t->text == "x in m") axis = t->at.y;
    }
    CHECK(least > 0);
    CHECK(axis - least >= 11);
    CHECK(d.height > axis);
}

TEST_CASE("a gap is left where nothing was computed") {
    PlotView plot;
    plot.xName = "x";
    plot.x = {0, 1, 2, 3, 4, 5};
    plot.curves = {{"", {1, 2, NAN, 4, 5, 6}}};
    CHECK(lines(plotDrawing(plot), 3) == 1);
    plot.curves = {{"", {1, 2, 3, 4, 5, 6}}};
    CHECK(lines(plotDrawing(plot), 6) == 1);
}

TEST_CASE("nothing computed says so, and constants and single points do not divide by zero") {
    PlotView plot;
    plot.xName = "x";
    CHECK(labels(plotDrawing(plot)).find("not computed") != std::string::npos);
    plot.x = {0, 1};
    plot.curves = {{"", {NAN, NAN}}};
    CHECK(labels(plotDrawing(plot)).find("not computed") != std::string::npos);
    plot.curves = {{"", {0, 0}}};
    CHECK(writeSvg(plotDrawing(plot), "p", true).find("nan") == std::string::npos);
    plot.x = {2};
    plot.curves = {{"", {-3}}};
    CHECK(writeSvg(plotDrawing(plot), "p", true).find("nan") == std::string::npos);
}

TEST_CASE("many curves: those not drawn are counted") {
    PlotView plot;
    plot.xName = "x";
    plot.x = {0, 1};
    for (int i = 0; i < 15; ++i) plot.curves.push_back({"case " + std::to_string(i), {0.0, i + 1.0}});
    const std::string text = labels(plotDrawing(plot));
    CHECK(text.find("3 further cases are not drawn") != std::string::npos);
    CHECK(text.find("15 at x = 1") != std::string::npos);
}

TEST_CASE("the load path leads from what rests to what carries") {
    JobFacts f = sample::job();
    CHECK(hasLoadPath(f));
    Bullets list = loadPathList(f);
    REQUIRE(list.items.size() == 3);
    CHECK(wordsOf(list.items[0].text).rfind("J1", 0) == 0);
    REQUIRE(list.items[0].below.size() == 1);
    CHECK(wordsOf(list.items[0].below[0].text).rfind("B1", 0) == 0);
    const Drawing d = loadPathDrawing(f);
    CHECK(std::count_if(d.shapes.begin(), d.shapes.end(), [](const auto& s) { return std::holds_alternative<Drawing::Filled>(s); }) == 1); // an arrow head
    sample::compareGolden("load-path.svg", writeSvg(d, "p", true));

    SUBCASE("a ring is still listed, each member of it once") {
        f.members[0].view.readsMembers = {"B1"};
        list = loadPathList(f);
        std::string all;
        const auto collect = [&all](const auto& self, const std::vector<Bullets::Item>& items) -> void {
            for (const Bullets::Item& i : items) {
                all += wordsOf(i.text) + "\n";
                self(self, i.below);
            }
        };
        collect(collect, list.items);
        CHECK(all.find("J1") != std::string::npos);
        CHECK(all.find("B1") != std::string::npos);
        CHECK(writeSvg(loadPathDrawing(f), "p", true).find("nan") == std::string::npos);
        CHECK(loadPathDrawing(f).height == d.height); // two members that name one another stand one above the other, not far apart
    }
    SUBCASE("without links there is none") {
        f.members[1].view.readsMembers.clear();
        CHECK_FALSE(hasLoadPath(f));
    }
}

TEST_CASE("many paths through many members stay within bounds") {
    JobFacts f;
    for (int level = 0; level < 20; ++level) {
        for (int i = 0; i < 3; ++i) {
            MemberFacts m;
            m.view.mark = "M" + std::to_string(level) + "_" + std::to_string(i);
            for (int j = 0; level > 0 && j < 3; ++j) m.view.readsMembers.push_back("M" + std::to_string(level - 1) + "_" + std::to_string(j));
            f.members.push_back(m);
        }
    }
    std::size_t n = 0;
    const auto collect = [&n](const auto& self, const std::vector<Bullets::Item>& items) -> void {
        for (const Bullets::Item& i : items) {
            ++n;
            self(self, i.below);
        }
    };
    collect(collect, loadPathList(f).items);
    CHECK(n >= f.members.size());
    CHECK(n < 1000);
}

TEST_CASE("lines of the load path run between boxes, and boxes stand apart") {
    // Links over any number of levels, rings and members on their own among them.
    std::uint32_t seed = 7;
    const auto random = [&seed](std::uint32_t below) {
        seed = seed * 1664525U + 1013904223U;
        return (seed >> 8U) % below;
    };
    for (int round = 0; round < 60; ++round) {
        JobFacts f;
        const std::uint32_t n = 2 + random(40);
        for (std::uint32_t i = 0; i < n; ++i) {
            MemberFacts m;
            m.view.mark = std::string(1 + random(5), 'M') + std::to_string(i);
            std::set<std::string> reads;
            for (std::uint32_t k = random(4); k > 0 && i > 0; --k) reads.insert(f.members[random(i)].view.mark);
            m.view.readsMembers.assign(reads.begin(), reads.end());
            f.members.push_back(m);
        }
        if (round % 3 == 0) f.members[0].view.readsMembers.push_back(f.members[n - 1].view.mark);
        const Drawing d = loadPathDrawing(f);
        std::vector<Drawing::Rect> boxes;
        std::size_t heads = 0, links = 0;
        for (const Drawing::Shape& s : d.shapes) {
            if (const auto* r = std::get_if<Drawing::Rect>(&s); r != nullptr && !r->hatched) boxes.push_back(*r);
            heads += std::holds_alternative<Drawing::Filled>(s) ? 1 : 0;
        }
        for (const MemberFacts& m : f.members) links += m.view.readsMembers.size();
        CHECK(boxes.size() == n);
        CHECK(heads == links);
        for (std::size_t a = 0; a < boxes.size(); ++a) {
            const Drawing::Rect& r = boxes[a];
            CHECK(r.x >= 0);
            CHECK(r.x + r.width <= d.width);
            CHECK(r.y + r.height <= d.height);
            for (std::size_t b = a + 1; b < boxes.size(); ++b) {
                const Drawing::Rect& o = boxes[b];
                CHECK((r.x + r.width < o.x || o.x + o.width < r.x || r.y + r.height < o.y || o.y + o.height < r.y));
            }
        }
        std::size_t through = 0;
        for (const Drawing::Shape& s : d.shapes) {
            const auto* line = std::get_if<Drawing::Polyline>(&s);
            if (line == nullptr) continue;
            for (std::size_t i = 0; i + 1 < line->points.size(); ++i) {
                for (int k = 0; k <= 200; ++k) {
                    const double t = k / 200.0;
                    const double x = line->points[i].x + (line->points[i + 1].x - line->points[i].x) * t;
                    const double y = line->points[i].y + (line->points[i + 1].y - line->points[i].y) * t;
                    for (const Drawing::Rect& r : boxes)
                        through += x > r.x + 0.01 && x < r.x + r.width - 0.01 && y > r.y + 0.01 && y < r.y + r.height - 0.01 ? 1 : 0;
                }
            }
        }
        CHECK(through == 0);
    }
}

TEST_CASE("names in a drawing are written as symbols, words as they are") {
    const auto flat = [](const std::string& text) {
        std::string out;
        for (const TextRun& run : runsOf(text)) out += run.below ? "<" + run.text + ">" : run.text;
        return out;
    };
    CHECK(flat("l_b = 50 mm") == "l<b> = 50 mm");
    CHECK(flat("w_UF") == "w<UF>");
    CHECK(flat("sigma_m at end A") == "σ<m> at end A");
    for (const char* same : {"", "end A", "47 mm", "_", "a_", "_b", "C24", "σ", "beta", "2_3", "last_web", "web_plate 2"}) CHECK(flat(same) == same);
    Drawing d;
    d.shapes.push_back(Drawing::Text{{10, 20}, "l_b = 5", Drawing::Text::Anchor::Middle, Drawing::Ink::Full, 10, 0});
    const std::string svg = writeSvg(d, "p", true);
    CHECK(svg.find(">l<tspan dy=\"2.2\" font-size=\"7.4\">b</tspan><tspan dy=\"-2.2\"> = 5</tspan></text>") != std::string::npos);
}
