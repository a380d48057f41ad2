// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "engine/syntax/document.h"

namespace fs = std::filesystem;
using namespace spanwright::syntax;

namespace {

std::string tidied(FileKind kind, const std::string& bytes) { return tidy(Document::read("x", kind, bytes)); }

std::string withoutBlanks(std::string s) {
    s.erase(std::remove_if(s.begin(), s.end(), [](char c) { return c == ' ' || c == '\t'; }), s.end());
    return s;
}

} // namespace

TEST_CASE("neighbouring rows share columns") {
    CHECK(tidied(FileKind::Sheet, "ask q_k   [kN/m^2] from 0.5 to 10 kN/m^2 -- imposed load  -- EN 1991-1-1\n"
                                  "given s=400 mm  -- spacing\n"
                                  "  derive   w_d [kN/m]=  a  +  b*s   -- line load \n"
                                  "choose grade from en338 -- -- EN 338\n"
                                  "derive M_d [kN*m] = w\n") == "ask     q_k   [kN/m^2] from 0.5 to 10 kN/m^2  -- imposed load  -- EN 1991-1-1\n"
                                                                "given   s              = 400 mm               -- spacing\n"
                                                                "derive  w_d   [kN/m]   = a  +  b*s            -- line load\n"
                                                                "choose  grade          from en338             --               -- EN 338\n"
                                                                "derive  M_d   [kN*m]   = w\n");
}

TEST_CASE("rows of a beam and of a member are indented") {
    CHECK(tidied(FileKind::Sheet, "beam B from 0 m to L\nstiffness E*I(x)\n support 0 m, a\n  load G line g -- own weight\nend\nderive a = 1\n") ==
          "beam    B from 0 m to L\n        stiffness E*I(x)\n        support   0 m, a\n        load      G line g  -- own weight\nend\nderive  a = 1\n");
    CHECK(tidied(FileKind::Sheet, "sketch Section -- across\n outline 0,0 to b, 0 to b,h\n  line   dashed 0, 0 to b, h only if b > 0 mm -- hidden\nend\n") ==
          "sketch  Section  -- across\n        outline   0,0 to b, 0 to b,h\n        line      dashed 0, 0 to b, h only if b > 0 mm  -- hidden\nend\n");
    CHECK(tidied(FileKind::Job, "member J1 = eu/joist -- loft\noff 14\nwith L=3.6 m\nwith grade = C24\nlist joints\n a , b\n 1,2\nend\nnote Text  with   "
                                "blanks.\ntick J1.M by A on 2026-01-01 letters A-B-C\n") ==
          "member  J1 = eu/joist  -- loft\n        off   14\n        with  L     = 3.6 m\n        with  grade = C24\n        list  joints\n a , b\n 1,2\n      "
          "  end\n        note  Text  with   "
          "blanks.\ntick    J1.M by A on 2026-01-01 letters A-B-C\n");
}

TEST_CASE("rows of several lines, tables, faulty rows and comments stay as they are") {
    const std::string kept = "   # comment  \n\nderive   a =   max(1,\n  2)   --  x\ntable  t   by k\n k ,  v\n\"a  b\" , 1\nend\n drive   b =  1\nderive   c  "
                             "= (\nsaw   x   y\n \t\n";
    const std::string got = tidied(FileKind::Sheet, kept);
    CHECK(got == "   # comment  \n\nderive   a =   max(1,\n  2)   --  x\ntable   t   by k\n k ,  v\n\"a  b\" , 1\nend\n drive   b =  1\nderive   c  = (\nsaw   "
                 "x   y\n \t\n");
}

TEST_CASE("texts keep their blanks and their dashes") {
    CHECK(tidied(FileKind::Sheet, "require   r:   a == \"x  --  y\"   --   z\r\ntitle    A   B -- c\r\n") ==
          "require r:   a == \"x  --  y\"  -- z\r\ntitle   A   B                 -- c\r\n");
}

TEST_CASE("law: only blanks change, what is read does not, and a second time nothing changes") {
    const fs::path root = fs::path(SPANWRIGHT_SOURCE_DIR) / "tests/golden/syntax";
    int seen = 0;
    for (const char* folder : {"ok", "err"}) {
        for (const auto& entry : fs::directory_iterator(root / folder)) {
            const std::string ending = entry.path().extension().string();
            if (ending != ".spansheet" && ending != ".spanjob") continue;
            CAPTURE(entry.path().filename().string());
            std::ifstream in(entry.path(), std::ios::binary);
            std::stringstream s;
            s << in.rdbuf();
            const std::string bytes = s.str();
            const FileKind kind = ending == ".spanjob" ? FileKind::Job : FileKind::Sheet;
            const Document before = Document::read("x", kind, bytes);
            const std::string once = tidy(before);
            const Document after = Document::read("x", kind, once);
            CHECK(withoutBlanks(once) == withoutBlanks(bytes));
            CHECK(tidy(after) == once);
            REQUIRE(after.rows().size() == before.rows().size());
            for (std::size_t i = 0; i < after.rows().size(); ++i) {
                CAPTURE(i);
                const Row& a = before.rows()[i];
                const Row& b = after.rows()[i];
                CHECK(a.kind == b.kind);
                CHECK(a->name.text == b->name.text);
                CHECK(a->unit.text == b->unit.text);
                CHECK(dump(a->formula) == dump(b->formula));
                CHECK(dump(a->limits.high) == dump(b->limits.high));
                CHECK(a->rest.text == b->rest.text);
                CHECK(a->what.text == b->what.text);
                CHECK(a->source.text == b->source.text);
                CHECK(a->key.text == b->key.text);
                CHECK(a->complaints.size() == b->complaints.size());
            }
            ++seen;
        }
    }
    CHECK(seen > 10);
}

TEST_CASE("trials of a job are aligned like its other rows, and stay what they are") {
    const std::string rough = "trial vary J1.h from 1 m to 2 m   and J1.s -- a\ntrial     weigh J1.bending -- b\n";
    const auto once = tidy(Document::read("t", FileKind::Job, rough));
    CHECK(once == "trial   vary J1.h from 1 m to 2 m   and J1.s  -- a\ntrial   weigh J1.bending                      -- b\n");
    CHECK(tidy(Document::read("t", FileKind::Job, once)) == once);
}
