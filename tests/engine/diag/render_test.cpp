// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>
#include <string>
#include <vector>

#include "engine/base/text.h"
#include "engine/diag/diagnostic.h"

using namespace spanwright;
using namespace spanwright::diag;

namespace {

/// A file of rows, one a line: what a document does for the renderer.
Resolver linesOf(std::vector<std::string> lines) {
    return [lines = std::move(lines)](const Place& p) -> std::optional<Resolved> {
        if (p.row >= lines.size()) return std::nullopt;
        const std::string& line = lines[p.row];
        Resolved r;
        r.line = p.row + 1;
        r.lineText = line;
        r.markStart = static_cast<std::uint32_t>(base::utf8Count(std::string_view(line).substr(0, p.span.begin)));
        r.markWidth = static_cast<std::uint32_t>(base::utf8Count(p.span.of(line)));
        r.column = r.markStart + 1;
        return r;
    };
}

Diagnostic unlike() {
    Diagnostic d;
    d.code = Code::UnlikeDimensions;
    d.place = {"joists.spansheet", 1, {11, 14}};
    d.message = "M_d + w_d: kN·m and kN/m cannot be added";
    return d;
}

} // namespace

TEST_CASE("the whole form: place, line, marks, labels, member, notes, mend") {
    Diagnostic d = unlike();
    d.labels.push_back({{"joists.spansheet", 1, {17, 20}}, "this is kN/m"});
    d.labels.push_back({{"joists.spansheet", 0, {7, 10}}, "M_d is defined here"});
    d.notes.emplace_back("a moment is a force times a length");
    d.mend = "multiply w_d by a length squared";
    d.member = "J1";
    CHECK(renderText(d, linesOf({"derive M_d [kN*m] = F*L", "derive x = M_d + w_d"})) ==
          "joists.spansheet:2:12: error: M_d + w_d: kN·m and kN/m cannot be added [M303]\n"
          "  2 | derive x = M_d + w_d\n"
          "    |            ^^^\n"
          "    |                  ~~~ this is kN/m\n"
          "joists.spansheet:1:8: note: M_d is defined here\n"
          "  1 | derive M_d [kN*m] = F*L\n"
          "    |        ~~~\n"
          "  in member J1\n"
          "  note: a moment is a force times a length\n"
          "  mend: multiply w_d by a length squared\n");
}

TEST_CASE("a file's own error has no line") {
    Diagnostic d;
    d.code = Code::FileNotFound;
    d.place.file = "barn.spanjob";
    d.message = "there is no such file";
    CHECK(renderText(d, linesOf({})) == "barn.spanjob: error: there is no such file [F001]\n");
    CHECK(renderText(d, {}) == "barn.spanjob: error: there is no such file [F001]\n");
    d.place.file.clear();
    d.severity = Severity::Warning;
    CHECK(renderText(d, {}) == "warning: there is no such file [F001]\n");
}

TEST_CASE("a place that cannot be resolved still names its file") {
    CHECK(renderText(unlike(), linesOf({})) == "joists.spansheet: error: M_d + w_d: kN·m and kN/m cannot be added [M303]\n");
}

TEST_CASE("columns count characters and tabs keep the marks below what they mean") {
    Diagnostic d = unlike();
    d.message = "wrong";
    d.place = {"a", 0, {6, 9}}; // "σσ" takes four bytes, the tab one
    const std::string line = "σσ\tkN/m";
    d.place.span = {5, 7};
    CHECK(renderText(d, linesOf({line})) == "a:1:4: error: wrong [M303]\n  1 | σσ\tkN/m\n    |   \t^^\n");
}

TEST_CASE("an empty place is marked one wide, at the end of the line too") {
    Diagnostic d = unlike();
    d.message = "breaks off";
    d.place = {"a", 0, {5, 5}};
    CHECK(renderText(d, linesOf({"x = 3"})) == "a:1:6: error: breaks off [M303]\n  1 | x = 3\n    |      ^\n");
}

TEST_CASE("nothing in a file moves the terminal's cursor or changes its colours") {
    Diagnostic d = unlike();
    d.message = "bad \x1B[31m name";
    d.mend = "take \xC2\x9B out";
    d.place = {"a\n.spansheet", 0, {0, 1}};
    const std::string out = renderText(d, linesOf({"x\x1B[2J\xFFy"}));
    CHECK(out == "a\xEF\xBF\xBD.spansheet:1:1: error: bad \xEF\xBF\xBD[31m name [M303]\n"
                 "  1 | x\xEF\xBF\xBD[2J\xEF\xBF\xBDy\n"
                 "    | ^\n"
                 "  mend: take \xEF\xBF\xBD out\n");
    CHECK(base::isUtf8(out));
}

TEST_CASE("a very long line is cut around the mark") {
    Diagnostic d = unlike();
    d.message = "far out";
    std::string line(20000, 'a');
    line.replace(15000, 3, "BAD");
    d.place = {"a", 0, {15000, 15003}};
    const std::string out = renderText(d, linesOf({line}));
    CHECK(out.size() < 600);
    const std::string expected =
        "a:1:15001: error: far out [M303]\n  1 | ..." + std::string(60, 'a') + "BAD" + std::string(97, 'a') + "...\n    | " + std::string(63, ' ') + "^^^\n";
    CHECK(out == expected);
}

TEST_CASE("showing has one order whatever the order of finding") {
    const auto make = [](std::string file, std::uint32_t row, std::uint32_t begin, Severity severity, Code code) {
        Diagnostic d;
        d.code = code;
        d.severity = severity;
        d.place = {std::move(file), row, {begin, begin + 1}};
        return d;
    };
    std::vector<Diagnostic> list{
        make("b", 1, 0, Severity::Error, Code::UnknownName), make("a", 4, 2, Severity::Note, Code::UnknownName),
        make("a", 9, 0, Severity::Error, Code::UnknownName), make("a", 2, 7, Severity::Error, Code::UnknownUnit),
        make("a", 2, 7, Severity::Error, Code::BadName),     make("a", 2, 3, Severity::Error, Code::UnknownName),
        make("a", 1, 0, Severity::Warning, Code::BadName),   make("a", Place::kNoRow, 0, Severity::Error, Code::FileNotText),
    };
    sortForShow(list);
    std::string order;
    for (const Diagnostic& d : list) {
        order += d.place.file + (d.place.row == Place::kNoRow ? "-" : std::to_string(d.place.row)) + ":" + std::to_string(d.place.span.begin) + " " +
                 std::string(severityText(d.severity)) + " " + std::string(codeText(d.code)) + "\n";
    }
    CHECK(order == "a-:0 error F004\na2:3 error M301\na2:7 error S109\na2:7 error U201\na9:0 error M301\na1:0 warning S109\na4:2 note M301\nb1:0 error M301\n");
}
