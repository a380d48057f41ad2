// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "engine/report/shop_pages.h"
#include "engine/report/words.h"
#include "engine/report/write.h"
#include "tests/engine/report/html_check.h"

using namespace spanwright;

namespace {

struct Planned {
    io::Memory files;
    std::unique_ptr<job::Job> job;
    shop::Workshop w;
    explicit Planned(const std::string& mark = "B1") {
        files.files["s.spansheet"] = "sheet s\ngiven L = 1.2 m\ncheck c: L <= 9 m\npiece web = 4 off, 12 mm by 250 mm to 400 mm by L from ply, density 600 "
                                     "(kg/m^3), at L/2\npiece rail = 3 off, 47 mm by 60 mm "
                                     "by L from C24, density 420 (kg/m^3), rip, at L/2\n";
        files.files["j.spanjob"] =
            "job Shed\nstock p = ply, 12 mm by 1220 mm by 2440 mm, panel\nstock b = C24, 47 mm by 195 mm by 4.8 m\nsaw kerf 3 mm, trim 5 mm\nmember " + mark +
            " = s\noff 2\n";
        job = job::Job::open(files, "j.spanjob", {});
        w = shop::work(*job);
    }
};

} // namespace

TEST_CASE("a drawing is to scale, names every part that there is room for, and numbers the cuts") {
    const Planned p;
    REQUIRE(p.w.plan.groups.size() == 2);
    for (const shop::GroupPlan& g : p.w.plan.groups) {
        REQUIRE_FALSE(g.boards.empty());
        const report::Drawing d = report::cutDrawing(p.w, g, g.boards.front());
        const auto& board = std::get<report::Drawing::Rect>(d.shapes.front());
        // Boards are drawn broader by a whole number of times, and the drawing says so.
        const double times =
            static_cast<double>(g.boards.front().size.width) / static_cast<double>(g.boards.front().size.height) / (board.width / board.height);
        CHECK(times == doctest::Approx(std::round(times)));
        CHECK((times > 1.5) == (d.title.find("breadths drawn " + std::to_string(std::lround(times)) + " times") != std::string::npos));
        CHECK((g.panels ? times < 1.5 : times > 1.5));
        std::size_t named = 0, cuts = 0;
        for (const auto& s : d.shapes)
            if (const auto* t = std::get_if<report::Drawing::Text>(&s)) {
                named += t->text.find("B1") != std::string::npos ? 1 : 0;
                cuts += t->text == "1" ? 1 : 0;
                CHECK(t->at.x >= 0.0);
                CHECK(t->at.x <= d.width);
                CHECK(t->at.y >= 0.0);
                CHECK(t->at.y <= d.height);
            }
        CHECK(named == g.boards.front().pieces.size());
        CHECK(cuts == 1);
    }
}

TEST_CASE("places of a plan lie in its drawing where the frame says") {
    const Planned p;
    for (const shop::GroupPlan& g : p.w.plan.groups)
        for (const shop::CutBoard& b : g.boards) {
            const report::Drawing d = report::cutDrawing(p.w, g, b);
            const report::CutFrame frame = report::cutFrame(g, b);
            for (const shop::CutPiece& piece : b.pieces) {
                // Among the lines of the drawing is one around the piece.
                const auto at = [&](shop::Spot s) {
                    return report::Drawing::Point{frame.left + static_cast<double>(s.x) * frame.across, frame.top + static_cast<double>(s.y) * frame.down};
                };
                const bool drawn = std::any_of(d.shapes.begin(), d.shapes.end(), [&](const report::Drawing::Shape& s) {
                    const auto* line = std::get_if<report::Drawing::Polyline>(&s);
                    if (line == nullptr || line->points.size() != piece.outline.size() + 1) return false;
                    for (std::size_t i = 0; i < piece.outline.size(); ++i)
                        if (std::hypot(line->points[i].x - at(piece.outline[i]).x, line->points[i].y - at(piece.outline[i]).y) > 1e-6) return false;
                    return true;
                });
                CHECK(drawn);
            }
        }
}

TEST_CASE("what stands on the pieces of a board can be read, stays on its piece and keeps clear of the numbers of cuts") {
    const Planned p;
    for (const report::CutLook look : {report::CutLook::Page, report::CutLook::Bench})
        for (const shop::GroupPlan& g : p.w.plan.groups)
            for (const shop::CutBoard& b : g.boards) {
                const report::Drawing d = report::cutDrawing(p.w, g, b, look);
                const report::CutFrame frame = report::cutFrame(g, b, look);
                struct Box {
                    double left, top, right, bottom;
                    [[nodiscard]] bool meets(const Box& o) const { return left < o.right && right > o.left && top < o.bottom && bottom > o.top; }
                };
                std::vector<Box> words, numbers;
                for (const auto& s : d.shapes) {
                    const auto* t = std::get_if<report::Drawing::Text>(&s);
                    if (t == nullptr) continue;
                    // A drawing as wide as the page takes 0.72 points a unit, on the bench at the least as much.
                    CHECK(t->size * 0.725 > 6.5);
                    if (t->anchor != report::Drawing::Text::Anchor::Middle) continue;
                    const double half = 0.25 * t->size * static_cast<double>(t->text.size());
                    const Box box = t->turned > 0 ? Box{t->at.x - 0.7 * t->size, t->at.y - half, t->at.x, t->at.y + half}
                                                  : Box{t->at.x - half, t->at.y - 0.7 * t->size, t->at.x + half, t->at.y};
                    const bool number = t->text.find_first_not_of("0123456789") == std::string::npos;
                    (number ? numbers : words).push_back(box);
                }
                CHECK_FALSE(words.empty());
                for (const Box& w : words) {
                    for (const Box& n : numbers) CHECK_FALSE(w.meets(n));
                    // Of pieces cut on the slant the boxes overlap.
                    bool inside = false, touched = false;
                    for (const shop::CutPiece& piece : b.pieces) {
                        const Box own{frame.left + static_cast<double>(piece.box.x) * frame.across, frame.top + static_cast<double>(piece.box.y) * frame.down,
                                      frame.left + static_cast<double>(piece.box.x + piece.box.width) * frame.across,
                                      frame.top + static_cast<double>(piece.box.y + piece.box.height) * frame.down};
                        inside = inside || (w.left >= own.left && w.right <= own.right && w.top >= own.top && w.bottom <= own.bottom);
                        touched = touched || w.meets(own);
                    }
                    CHECK((inside || !touched));
                }
            }
}

TEST_CASE("pages of the workshop are sound HTML, whatever the texts hold") {
    const Planned p;
    const report::JobFacts f = report::gather(*p.job, {});
    for (const report::Document& d :
         {report::cutDocument(f, p.w), report::priceDocument(f, p.w, true), report::benchDocument(f, p.w, *p.job, report::Tape::Inches)}) {
        const std::string page = report::writeHtml(d);
        const auto faults = report::sample::pageFaults(page);
        CHECK_MESSAGE(faults.empty(), (faults.empty() ? std::string() : faults.front()));
    }
    CHECK(report::benchDocument(f, p.w, *p.job, report::Tape::Millimetres).largePrint);
}

TEST_CASE("tape readings in millimetres to a tenth, or in feet and inches to a sixteenth") {
    CHECK(report::tapeText(12345, report::Tape::Millimetres) == "1234.5");
    CHECK(report::tapeText(6096, report::Tape::Inches) == "2'-0\"");
    CHECK(report::tapeText(6112, report::Tape::Inches) == "2'-0 1/16\"");
}

TEST_CASE("the cut list has a line for each part and none twice") {
    const Planned p;
    const std::string csv = report::writeCutListCsv(p.w);
    CHECK(std::count(csv.begin(), csv.end(), '\n') == 1 + 2 * 4 + 2 * 3);
    for (int n = 1; n <= 8; ++n) {
        const std::string line = "B1 web," + std::to_string(n) + ",";
        const std::size_t at = csv.find(line);
        CHECK(at != std::string::npos);
        CHECK(csv.find(line, at + 1) == std::string::npos);
    }
}

TEST_CASE("all cautions are on the bench pages, and every part has its letter and its label") {
    Planned p;
    p.files.files["s.spansheet"].insert(8, "caution Keep it dry.\n");
    p.job = job::Job::open(p.files, "j.spanjob", {});
    p.w = shop::work(*p.job);
    report::Want want;
    const report::JobFacts f = report::gather(*p.job, want);
    const report::Document d = report::benchDocument(f, p.w, *p.job, report::Tape::Millimetres);
    const auto section = [&](const std::string& id) {
        const auto at = std::find_if(d.sections.begin(), d.sections.end(), [&](const report::Section& s) { return s.id == id; });
        REQUIRE(at != d.sections.end());
        report::Document one;
        one.sections.push_back(*at);
        std::string text = report::writeText(one, 4000);
        return text;
    };
    const std::string cautions = section("bench-cautions");
    std::vector<std::string> all = report::cautionsOf(f);
    CHECK(std::find(all.begin(), all.end(), "Keep it dry.") != all.end());
    for (const std::string& c : all) CHECK_MESSAGE(cautions.find(c) != std::string::npos, c);
    CHECK(cautions.find("B1  Keep it dry.") != std::string::npos);
    const std::string labels = section("bench-labels");
    for (const shop::Part& part : p.w.parts.parts) {
        const std::string last = part.label + " " + std::to_string(part.count) + "/" + std::to_string(part.count);
        CHECK_MESSAGE(labels.find(last) != std::string::npos, last);
    }
    for (const shop::GroupPlan& g : p.w.plan.groups)
        for (const shop::CutBoard& b : g.boards) {
            const report::Drawing drawing = report::cutDrawing(p.w, g, b, report::CutLook::Bench);
            const std::string page = section("bench-" + std::to_string(b.number));
            for (std::size_t i = 0; i < b.pieces.size(); ++i) {
                const std::string letter = report::benchLetter(i);
                const shop::Part& part = p.w.parts.parts[b.pieces[report::benchOrder(b)[i]].part];
                // A name is never broken: where it has no room the letter stands for it.
                for (const auto& s : drawing.shapes) {
                    const auto* t = std::get_if<report::Drawing::Text>(&s);
                    if (t != nullptr && t->text.rfind(letter + " ", 0) == 0)
                        CHECK_MESSAGE((t->text == letter + " " + part.label || t->text == letter + " " + part.mark), t->text);
                }
                CHECK_MESSAGE(page.find(letter + "  " + part.label) != std::string::npos, letter);
                CHECK(std::any_of(drawing.shapes.begin(), drawing.shapes.end(), [&](const auto& s) {
                    const auto* t = std::get_if<report::Drawing::Text>(&s);
                    return t != nullptr && (t->text == letter || t->text.rfind(letter + " ", 0) == 0);
                }));
            }
        }
}

TEST_CASE("letters go on after z; slings stand alike on both sides of the centre of mass") {
    CHECK(report::benchLetter(0) == "a");
    CHECK(report::benchLetter(25) == "z");
    CHECK(report::benchLetter(26) == "aa");
    CHECK(report::benchLetter(27) == "ab");
    const auto [a, b] = report::slingsOf(4.0, 1.9);
    CHECK(1.9 - a == doctest::Approx(b - 1.9));
    CHECK(a == doctest::Approx(1.9 - 0.293 * 4.0));
    const report::Drawing d = report::liftDrawing("R1", 4.0, 1.9, report::Tape::Millimetres);
    CHECK(d.title == "R1 on two slings at 728 and 3072 from end A, centre of mass at 1900");
}

TEST_CASE("each page of the workshop says which of its members are not OK, and none of those that are") {
    io::Memory files;
    const std::string sheet =
        "given L = 1.2 m\ngiven most = 9 m\nask q [kN]\ncheck c: L <= most\npiece rail = 1 off, 47 mm by 195 mm by L from C24, density 420 "
        "(kg/m^3), at L/2, glue L*60 mm\n";
    files.files["s.spansheet"] = "sheet s\n" + sheet;
    files.files["j.spanjob"] = "job Shed\nstock b = C24, 47 mm by 195 mm by 1.3 m\nsaw kerf 3 mm, trim 5 mm\nmember G1 = s\nwith q = 1 kN\n"
                               "member F1 = s\nwith q = 1 kN\nwith most = 1 m\nwith L = 1.21 m\nmember N1 = s\nwith L = 1.22 m\n";
    const auto job = job::Job::open(files, "j.spanjob", {});
    const shop::Workshop w = shop::work(*job);
    const report::JobFacts facts = report::gather(*job, {});
    const std::string said = "nothing is to be bought, cut, glued or set for";
    for (const report::Document& d : {report::cutDocument(facts, w), report::priceDocument(facts, w, false)}) {
        const std::string text = report::writeText(d, 400);
        CHECK(text.find("F1 [ FAILS ], N1 [ NOT PROVEN ]: " + said + " them before they are OK.") != std::string::npos);
        CHECK(text.find("G1 [") == std::string::npos);
    }
    // Every member has a board of its own here, so every page of the bench is about one member, but for the first.
    std::size_t pages = 0;
    for (const report::Section& s : report::benchDocument(facts, w, *job, report::Tape::Millimetres).sections) {
        report::Document one;
        one.sections.push_back(s);
        const std::string text = report::writeText(one, 400);
        const auto about = [&](const std::string& mark) { return text.find(mark + " rail") != std::string::npos || s.mark == mark; };
        if (s.id == "bench-front" || s.id == "bench-labels" || s.id == "bench-cautions") continue;
        CAPTURE(text);
        ++pages;
        CHECK((text.find("F1 [ FAILS ]: " + said + " it before it is OK.") != std::string::npos) == about("F1"));
        CHECK((text.find("N1 [ NOT PROVEN ]: " + said + " it before it is OK.") != std::string::npos) == about("N1"));
    }
    CHECK(pages == 9); // for each a board, a bond log and a page on lifting
    const std::string json = report::writeCutJson("j.spanjob", w);
    CHECK(json.find("\"verdict\": \"FAILS\"") != std::string::npos);
    CHECK(json.find("\"verdict\": \"NOT PROVEN\"") != std::string::npos);
    CHECK(json.find("\"verdict\": \"OK\"") != std::string::npos);
}

TEST_CASE("in inches the least that a part may have is never rounded down") {
    io::Memory files;
    // 48 mm is 1.8898 in: 1 7/8 in would be too little; 609.6 mm is 2 ft and stays so; 1200 mm is 3 ft 11.244 in.
    files.files["s.spansheet"] =
        "sheet s\ngiven L = 1.2 m\ncheck c: L <= 9 m\npiece rail = 3 off, 47 mm by 48 mm by L from C24, density 420 (kg/m^3), rip, at L/2\n";
    files.files["j.spanjob"] = "job Shed\nstock b = C24, 47 mm by 195 mm by 4.8 m\nsaw kerf 3 mm, trim 5 mm\nmember B1 = s\nmember B2 = s\nwith L = 609.6 mm\n";
    const auto job = job::Job::open(files, "j.spanjob", {});
    const shop::Workshop w = shop::work(*job);
    const std::string inches = report::writeText(report::benchDocument(report::gather(*job, {}), w, *job, report::Tape::Inches), 400);
    CHECK(inches.find("0'-1 15/16\" x 3'-11 1/4\"") != std::string::npos);
    CHECK(inches.find("0'-1 15/16\" x 2'-0\"") != std::string::npos);
    CHECK(inches.find("that one counts") != std::string::npos);
    const std::string metric = report::writeText(report::benchDocument(report::gather(*job, {}), w, *job, report::Tape::Millimetres), 400);
    CHECK(metric.find("48 x 1200") != std::string::npos);
    CHECK(metric.find("that one counts") == std::string::npos);
}
