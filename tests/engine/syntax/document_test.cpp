// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

#include "engine/syntax/document.h"
#include "engine/syntax/kinds.h"

namespace fs = std::filesystem;
using namespace spanwright;
using namespace spanwright::syntax;
using diag::Code;

namespace {

Document sheet(std::string bytes) { return Document::read("s.spansheet", FileKind::Sheet, std::move(bytes)); }
Document job(std::string bytes) { return Document::read("j.spanjob", FileKind::Job, std::move(bytes)); }

/// The kinds of all rows but blank ones: "derive part derive".
std::string kinds(const Document& d) {
    std::string out;
    for (const Row& r : d.rows()) {
        if (r.kind == RowKind::Blank) continue;
        if (!out.empty()) out += ' ';
        out += kindName(r.kind);
    }
    return out;
}

std::string codes(const Document& d) {
    std::string out;
    for (const auto& g : d.diagnostics()) out += (out.empty() ? "" : " ") + std::string(diag::codeName(g.code));
    return out;
}

/// Everything that was read, spans and all.
void requireSame(const Document& got, const Document& want) {
    REQUIRE(got.text() == want.text());
    REQUIRE(got.rows().size() == want.rows().size());
    for (std::size_t i = 0; i < got.rows().size(); ++i) {
        CAPTURE(i);
        const Row& a = got.rows()[i];
        const Row& b = want.rows()[i];
        REQUIRE(a.text == b.text);
        REQUIRE(a.lines == b.lines);
        REQUIRE(a.kind == b.kind);
        REQUIRE(a.open == b.open);
        REQUIRE(a.owner == b.owner);
        REQUIRE((a.parts == nullptr) == (b.parts == nullptr));
        if (a.parts) REQUIRE(*a.parts == *b.parts);
    }
    REQUIRE(got.misfits() == want.misfits());
}

std::string fileText(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    std::stringstream s;
    s << in.rdbuf();
    return s.str();
}

/// The golden inputs, in a fixed order.
const std::vector<std::pair<FileKind, std::string>>& samples() {
    static const auto made = [] {
        std::vector<fs::path> paths;
        for (const char* folder : {"ok", "err"}) {
            for (const auto& e : fs::directory_iterator(fs::path(SPANWRIGHT_SOURCE_DIR) / "tests/golden/syntax" / folder)) paths.push_back(e.path());
        }
        std::sort(paths.begin(), paths.end());
        std::vector<std::pair<FileKind, std::string>> out;
        for (const fs::path& p : paths) {
            if (p.extension() == ".spansheet") out.emplace_back(FileKind::Sheet, fileText(p));
            if (p.extension() == ".spanjob") out.emplace_back(FileKind::Job, fileText(p));
        }
        return out;
    }();
    return made;
}

const std::vector<std::string> kSnippets = {"derive a = 1\n",
                                            "derive ",
                                            "(",
                                            ")",
                                            "[",
                                            "]",
                                            "\n",
                                            "\r\n",
                                            "end\n",
                                            "end",
                                            "beam B from 0 m to L\n",
                                            "table t by k\n",
                                            "k, v\n",
                                            "load G line q\n",
                                            "part P only if a\n",
                                            "otherwise\n",
                                            "# x\n",
                                            "\"",
                                            " -- ",
                                            "=",
                                            ",",
                                            "h",
                                            "m",
                                            "given h = 3 mm\n",
                                            "ask s [m]\n",
                                            "derive w = 150 mm/h + 2 kN/m\n",
                                            "member J1 = a\n",
                                            "with L = 3 m\n",
                                            "off 2\n",
                                            "list l\n",
                                            "sketch\n",
                                            "<<<<<<< a\n",
                                            "note n\n",
                                            "x",
                                            "\xff",
                                            " ",
                                            "\t",
                                            "title T\n",
                                            "define f(m) = 1 kN/m\n"};

std::string mutated(std::string bytes, std::mt19937& random) {
    const int changes = 1 + static_cast<int>(random() % 6);
    for (int i = 0; i < changes; ++i) {
        const std::size_t at = bytes.empty() ? 0 : random() % (bytes.size() + 1);
        switch (random() % 4) {
        case 0: bytes.erase(at, random() % 30); break;
        case 1: bytes.insert(at, kSnippets[random() % kSnippets.size()]); break;
        case 2: bytes.insert(at, 1, static_cast<char>(random() % 256)); break;
        default:
            if (at < bytes.size()) bytes[at] = static_cast<char>(random() % 256);
        }
    }
    return bytes;
}

} // namespace

TEST_CASE("an open bracket continues a row; comments inside stay") {
    const Document d = sheet("derive a = max(1,\n   # why\n\n   2)  -- what\nderive b = 2\n");
    CHECK(kinds(d) == "derive derive");
    CHECK(d.rows()[0].lines == 4);
    CHECK(d.rows()[0]->what.text == "what");
    CHECK(d.diagnostics().empty());
}

TEST_CASE("a bracket that is never closed costs its row, not the rest") {
    const Document d = sheet("derive a = max(1,\n   2\n\n# about b\nderive b = 2\nderive c = (b\nend_of = 1\n");
    CHECK(kinds(d) == "derive comment derive derive");
    CHECK(codes(d) == "BracketOpen FormulaUnexpected");
    CHECK(d.rows()[0].text == "derive a = max(1,\n   2\n");
    CHECK(d.rows()[0].open);
}

TEST_CASE("brackets in plain words continue nothing") {
    const Document d = sheet("title  Joist (old\npart   Notch (a\nassume [this\nderive a = 1 -- see (2\nderive b = 2\npart P (x only if (a\n and b)\nderive c "
                             "= \"(\"\nderive d = 1\n");
    CHECK(kinds(d) == "title part assume derive derive part derive derive");
    CHECK(codes(d).empty());
}

TEST_CASE("a row's word inside a continued row is no new row unless it looks like one") {
    const Document d = sheet("derive a = (load -\n  use + date\n  *with_x)\nderive b = (c +\n  load and part)\n");
    CHECK(kinds(d) == "derive derive");
    CHECK(codes(d).empty());
}

TEST_CASE("who stands in what") {
    const Document d = sheet("given a = 1\npart P only if x\nbeam B from 0 m to L\nload G line q\n# c\nend\notherwise\nderive b = 1\ntable t\nk\n1\nend\n");
    const auto owner = [&](std::size_t i) { return d.rows()[i].owner; };
    CHECK(owner(0) == Row::kNoOwner);
    CHECK(owner(1) == Row::kNoOwner);
    CHECK(owner(2) == 1);
    CHECK(owner(3) == 2);
    CHECK(owner(4) == 2);
    CHECK(owner(5) == 2);
    CHECK(owner(6) == 1);
    CHECK(owner(7) == 6);
    CHECK(owner(8) == 6);
    CHECK(owner(9) == 8);
    CHECK(owner(11) == 8);
    const Document j = job("given a = 1\nmember J1 = s\noff 2\nlist l\nk\nend\nnote n\ngiven b = 1\nwith x = 1\n");
    CHECK(j.rows()[2].owner == 1);
    CHECK(j.rows()[3].owner == 1);
    CHECK(j.rows()[4].owner == 3);
    CHECK(j.rows()[6].owner == 1);
    CHECK(j.rows()[7].owner == Row::kNoOwner);
    CHECK(codes(j) == "RowMisplaced");
}

TEST_CASE("a block without its end gives way to a row that cannot be inside it") {
    const Document d = sheet("table t by k\nk, v\na, 1\nuse, 2\nload, 3\nderive b = t(a, 1).v\nbeam B from 0 m to L\nsupport 0 m\ncheck c: a < b\n");
    CHECK(kinds(d) == "table line line line line derive beam support check");
    CHECK(codes(d) == "EndMissing EndMissing");
    CHECK(codes(sheet("table t\nk\n1\n")).empty());
    CHECK(codes(sheet("beam B from 0 m to L\nsupport 0 m\n")) == "EndMissing");
}

TEST_CASE("a bare compound unit is no fault where the document defines the name") {
    CHECK(codes(sheet("derive k = (150 mm/h)^0.2\n")) == "CompoundUnitBare");
    CHECK(codes(sheet("derive k = (150 mm/h)^0.2\ngiven h = 3 mm\n")).empty());
    CHECK(codes(sheet("define f(h [mm]) = 150 mm/h\n")).empty());
    CHECK(codes(sheet("derive a = integral(3 kN*m, m from 0 to 1)\n")).empty());
    Document d = sheet("derive k = 150 mm/h\ngiven g = 3 mm\n");
    d.apply({{1, {6, 7}, "h"}});
    CHECK(codes(d).empty());
    d.apply({{1, {6, 7}, "x"}});
    CHECK(codes(d) == "CompoundUnitBare");
}

TEST_CASE("a byte order mark and CRLF stay; places are counted from behind them") {
    const std::string bytes = "\xEF\xBB\xBFtitle T\r\nderive a = (1 +\r\n 2)\r\nderiv b = 1\r\n";
    const Document d = sheet(bytes);
    CHECK(d.text() == bytes);
    CHECK(kinds(d) == "title derive unknown");
    CHECK(d.offsetOf(1) == 3 + 9);
    REQUIRE(d.diagnostics().size() == 1);
    const auto place = d.resolve(d.diagnostics()[0].place);
    REQUIRE(place);
    CHECK(place->line == 4);
    CHECK(place->column == 1);
    CHECK(place->lineText == "deriv b = 1");
    const auto inside = d.resolve(d.place(1, {18, 19}));
    REQUIRE(inside);
    CHECK(inside->line == 3);
    CHECK(inside->column == 2);
    CHECK(!d.resolve({"other", 0, {}}));
    CHECK(!d.resolve(d.place(99, {})));
}

TEST_CASE("columns are counted in characters") {
    const Document d = sheet("derive σ_m = σ σ\n");
    REQUIRE(d.diagnostics().size() == 1);
    CHECK(d.resolve(d.diagnostics()[0].place)->column == 16);
}

TEST_CASE("rows past the limits are kept as they are") {
    std::string bytes;
    for (std::size_t i = 0; i <= kMaxStatements + 10; ++i) bytes += "x\n";
    const Document d = sheet(bytes);
    CHECK(d.text() == bytes);
    CHECK(d.rows().size() == kMaxStatements + 1);
    CHECK(d.rows().back()->complaints.at(0).code == Code::TooManyRows);
    CHECK(d.rows().back().lines == 11);
}

TEST_CASE("a long row is complained about once") {
    std::string formula = "a";
    while (formula.size() < kMaxFormulaBytes) formula += "+(b)";
    const Document d = sheet("derive x = " + formula + "\nderive y = 2\n");
    CHECK(codes(d) == "FormulaTooLong");
    CHECK(d.rows()[0]->name.text == "x");
    CHECK(d.rows()[1]->formula.present());
}

TEST_CASE("an edit in a long document reads one row") {
    std::string bytes = "part P\n";
    for (int i = 0; i < 20000; ++i) bytes += "derive a" + std::to_string(i) + " = 1 + " + std::to_string(i) + "\n";
    Document d = sheet(bytes);
    const std::uint64_t before = d.rowsRead();
    CHECK(before == 20001);
    d.apply({{10000, {0, 0}, " "}, {10000, {12, 13}, "xy"}});
    CHECK(d.rowsRead() == before + 1);
    d.insert(500, "derive n1 = 1\nderive n2 = 2\n");
    CHECK(d.rowsRead() == before + 3);
    d.erase(500, 1);
    CHECK(d.rowsRead() == before + 3);
    requireSame(d, sheet(d.text()));
}

TEST_CASE("an edit in one table's line does not read the table again") {
    std::string bytes = "table t by k\nk, v\n";
    for (int i = 0; i < 5000; ++i) bytes += "r" + std::to_string(i) + ", 1\n";
    bytes += "end\n";
    Document d = sheet(bytes);
    const std::uint64_t before = d.rowsRead();
    d.apply({{100, {0, 1}, "q"}});
    CHECK(d.rowsRead() == before + 1);
    requireSame(d, sheet(d.text()));
}

TEST_CASE("insert at the end gives the last line its line end") {
    Document d = sheet("title T\r\nderive a = 1");
    d.insert(99, "derive b = 2\r\n");
    CHECK(d.text() == "title T\r\nderive a = 1\r\nderive b = 2\r\n");
    requireSame(d, sheet(d.text()));
    Document empty = sheet("");
    empty.insert(0, "title T\n");
    CHECK(kinds(empty) == "title");
}

TEST_CASE("edits beyond the row or the document do no harm") {
    Document d = sheet("title T\n");
    d.apply({{7, {0, 1}, "x"}});
    CHECK(d.text() == "title T\n");
    d.apply({{0, {4, 900}, "\n"}});
    CHECK(d.text() == "titl\n");
    d.erase(0, 50);
    CHECK(d.text().empty());
}

TEST_CASE("law: any bytes come back as they were") {
    std::mt19937 random(1);
    for (int round = 0; round < 2000; ++round) {
        std::string bytes;
        const std::size_t length = random() % 300;
        for (std::size_t i = 0; i < length; ++i) bytes += static_cast<char>(random() % (round % 2 == 0 ? 256 : 64));
        const FileKind kind = round % 3 == 0 ? FileKind::Job : FileKind::Sheet;
        const Document d = Document::read("x", kind, bytes);
        REQUIRE(d.text() == bytes);
        for (const auto& g : d.diagnostics()) REQUIRE(d.resolve(g.place));
    }
}

TEST_CASE("law: mutated sheets and jobs come back as they were, with resolvable places") {
    std::mt19937 random(2);
    for (int round = 0; round < 1500; ++round) {
        const auto& [kind, bytes] = samples()[random() % samples().size()];
        const std::string text = mutated(bytes, random);
        const Document d = Document::read("x", kind, text);
        REQUIRE(d.text() == text);
        std::uint32_t lines = 0;
        for (const Row& r : d.rows()) {
            lines += r.lines;
            REQUIRE(!r.text.empty());
            REQUIRE((r.owner == Row::kNoOwner || r.owner < d.rows().size()));
        }
        const auto ends = static_cast<std::uint32_t>(std::count(text.begin(), text.end(), '\n'));
        const bool bomOnly = d.rows().empty();
        REQUIRE((bomOnly || lines == ends + (text.back() == '\n' ? 0U : 1U)));
        for (const auto& g : d.diagnostics()) REQUIRE(d.resolve(g.place));
        REQUIRE(!dump(d).empty() == !d.rows().empty());
    }
}

TEST_CASE("law: edits in place equal reading the edited text anew") {
    std::mt19937 random(3);
    const auto roll = [&random](std::uint32_t n) { return static_cast<std::uint32_t>(random() % n); };
    for (int round = 0; round < 400; ++round) {
        const auto& [kind, bytes] = samples()[random() % samples().size()];
        Document d = Document::read("x", kind, bytes);
        for (int step = 0; step < 12; ++step) {
            CAPTURE(round);
            CAPTURE(step);
            const auto size = static_cast<std::uint32_t>(d.rows().size());
            std::string want = d.text();
            switch (random() % 5) {
            case 0: {
                const std::uint32_t before = roll(size + 1);
                std::string text = kSnippets[random() % kSnippets.size()];
                if (text.empty() || text.back() != '\n') text += '\n';
                const bool join = before == size && !want.empty() && want.back() != '\n' && size > 0;
                want.insert(d.offsetOf(before),
                            (join ? (d.rows()[0].text.size() > 1 && d.rows()[0].text.substr(d.rows()[0].text.size() - 2) == "\r\n" ? "\r\n" : "\n") : "") +
                                text);
                d.insert(before, text);
                break;
            }
            case 1: {
                if (size == 0) break;
                const std::uint32_t first = roll(size);
                const std::uint32_t count = std::min<std::uint32_t>(size - first, roll(4));
                const std::size_t from = d.offsetOf(first);
                want.erase(from, d.offsetOf(first + count) - from);
                d.erase(first, count);
                break;
            }
            default: {
                std::vector<RowEdit> edits;
                std::size_t shift = 0;
                for (std::uint32_t row = 0; row < size; ++row) {
                    if (random() % size > 2) continue;
                    const auto length = static_cast<std::uint32_t>(d.rows()[row].text.size());
                    std::uint32_t at = roll(length + 1);
                    for (int part = 0; part < 2; ++part) {
                        const std::uint32_t to = std::min<std::uint32_t>(length, at + roll(5));
                        RowEdit e{row, {at, to}, random() % 3 == 0 ? std::string{} : kSnippets[random() % kSnippets.size()]};
                        want.replace(d.offsetOf(row) + at + shift, to - at, e.text);
                        shift += e.text.size() - (to - at);
                        edits.push_back(std::move(e));
                        at = to;
                        if (random() % 2 == 0) break;
                    }
                }
                d.apply(edits);
            }
            }
            // A byte order mark cannot be edited into being, only be there from the start.
            if (want.compare(0, 3, "\xEF\xBB\xBF") != 0 || bytes.compare(0, 3, "\xEF\xBB\xBF") == 0) requireSame(d, Document::read("x", kind, want));
        }
    }
}
