// SPDX-License-Identifier: MIT
#include "engine/cli/run.h"

#include <doctest/doctest.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "engine/report/words.h"
#include "tests/engine/cli/bench.h"
#include "tests/engine/report/json_schema.h"

using namespace spanwright;
using namespace spanwright::cli;
using cli::sample::Bench;
using cli::sample::Ran;
using nlohmann::json;

namespace {

bool has(const std::string& text, const std::string& what) { return text.find(what) != std::string::npos; }

std::string schemaFaults(const std::string& text) {
    std::ifstream in(std::string(SPANWRIGHT_SOURCE_DIR) + "/engine/report/check.schema.json");
    const json schema = json::parse(in);
    std::string out;
    for (const std::string& f : report::sample::schemaFaults(schema, schema, json::parse(text))) out += f + "\n";
    return out;
}

} // namespace

TEST_CASE("check ends with what it found") {
    Bench b;
    SUBCASE("all OK") {
        b.files.files["shed.spanjob"] = "job x\nmember J1 = joist\n with L = 3.6 m\n";
        const Ran r = b.run({"check", "shed.spanjob"});
        CHECK(r.status == kAllOk);
        CHECK(has(r.out, "[ OK ]"));
        CHECK(r.err == "");
    }
    SUBCASE("something fails") {
        const Ran r = b.run({"check", "shed.spanjob"}); // B1: 3.6 kN/m * (4 m)^2 / 8 = 7.2 kN*m > 5 kN*m
        CHECK(r.status == kNotOk);
        CHECK(has(r.out, "[ FAILS ]"));
        CHECK(has(r.out, "1.44"));
    }
    SUBCASE("something is not stated") {
        const Ran r = b.run({"check", "joist.spansheet"});
        CHECK(r.status == kNotOk);
        CHECK(has(r.out, "[ NOT PROVEN ]"));
        CHECK(has(r.out, "not stated\n  L"));
    }
    SUBCASE("something is wrong: outranks what fails") {
        b.files.files["joist.spansheet"] += "derive z = 1/0\n";
        const Ran r = b.run({"check", "shed.spanjob"});
        CHECK(r.status == kNotRead);
        CHECK(has(r.err, "error: "));
        CHECK(has(r.err, "joist.spansheet:"));
        CHECK(has(r.out, "[ NOT COMPUTED ]"));
    }
    SUBCASE("a file that is not there") {
        const Ran r = b.run({"check", "nowhere.spanjob"});
        CHECK(r.status == kNotRead);
        CHECK(has(r.err, "nowhere.spanjob: error: "));
        CHECK_FALSE(has(r.out, "[ OK ]"));
    }
}

TEST_CASE("check always prints the cautions, the sheet's own too") {
    Bench b;
    std::string flat = b.run({"check", "shed.spanjob"}).out;
    for (std::size_t at = flat.find("\n  "); at != std::string::npos; at = flat.find("\n  ", at)) flat.replace(at, 3, " ");
    for (const std::string& c : report::standingCautions()) CHECK_MESSAGE(has(flat, c), c);
    CHECK(has(flat, "Look at the bearings on site."));
}

TEST_CASE("--set changes nothing but what is shown, and is named") {
    Bench b;
    const auto before = b.files.files;
    const Ran r = b.run({"check", "shed.spanjob", "--set", "B1.L=3 m"});
    CHECK(r.status == kAllOk); // 3.6*9/8 = 4.05
    CHECK(has(r.out, "B1.L=3 m"));
    CHECK(b.files.files == before);
    CHECK(b.run({"check", "joist.spansheet", "--set", "L=3 m"}).status == kAllOk);
    const Ran wrong = b.run({"check", "shed.spanjob", "--set", "B1.M=3 kN*m"});
    CHECK(wrong.status == kNotRead);
    CHECK(has(wrong.err, "error: "));
    CHECK(b.run({"check", "shed.spanjob", "--set", "Q9.L=3 m"}).status == kNotRead);
    CHECK(b.run({"check", "shed.spanjob", "--set", "B1.L=3 kg"}).status == kNotRead);
}

TEST_CASE("one member alone") {
    Bench b;
    const Ran good = b.run({"check", "shed.spanjob", "--member", "J1"});
    CHECK(good.status == kAllOk);
    CHECK_FALSE(has(good.out, "B1  "));
    CHECK(b.run({"check", "shed.spanjob", "-m", "B1"}).status == kNotOk);
    const Ran unknown = b.run({"check", "shed.spanjob", "--member", "J2"});
    CHECK(unknown.status == kNotRead);
    CHECK(has(unknown.err, "there is no member `J2`"));
    CHECK(has(unknown.err, "did you mean `J1`?"));
}

TEST_CASE("JSON keeps to its schema and CSV to its columns") {
    Bench b;
    for (const char* file : {"shed.spanjob", "joist.spansheet", "nowhere.spanjob"}) {
        CAPTURE(file);
        const Ran r = b.run({"check", file, "--json"});
        CHECK(schemaFaults(r.out) == "");
        CHECK(json::parse(r.out)["status"] == r.status);
        CHECK(r.out == b.run({"check", file, "--json"}).out);
    }
    const json shed = json::parse(b.run({"check", "shed.spanjob", "--json"}).out);
    const json& check = shed["members"][1]["checks"][0];
    CHECK(check["utilisation"].get<double>() == doctest::Approx(1.44).epsilon(1e-12));
    CHECK(check["state"] == "fails");
    bool found = false;
    for (const json& q : shed["members"][1]["quantities"]) {
        if (q["name"] != "M") continue;
        found = true;
        CHECK(q["si"].get<double>() == doctest::Approx(7200).epsilon(1e-12));
        CHECK(q["shown"] == "7.2 kN·m");
        CHECK(q["state"] == "known");
    }
    CHECK(found);
    const Ran csv = b.run({"check", "shed.spanjob", "--csv"});
    CHECK(csv.out.rfind("mark,count,section,span,governing check,utilisation,verdict,purpose,sheet,mass kg,cost,currency,cost from,cost to\nJ1,14,", 0) == 0);
}

TEST_CASE("check --explain says what each check means") {
    Bench b;
    CHECK(has(b.run({"check", "shed.spanjob", "--explain"}).out, "A shorter span helps most."));
    CHECK_FALSE(has(b.run({"check", "shed.spanjob"}).out, "A shorter span helps most."));
}

TEST_CASE("working shows how a value came about") {
    Bench b;
    const Ran r = b.run({"working", "shed.spanjob", "J1.M"});
    CHECK(r.status == kAllOk);
    for (const char* part : {"J1.M", "moment at midspan", "3.24 kN·m", "comes from", "J1.q", "J1.L", "feeds", "J1.bending", "letters "})
        CHECK_MESSAGE(has(r.out, part), part);
    CHECK_FALSE(has(r.out, "behind the value asked for"));
    const Ran deep = b.run({"working", "shed.spanjob", "B1.M", "--deep", "2"});
    CHECK(has(deep.out, "1 step behind"));
    CHECK(has(deep.out, "2 steps behind"));
    CHECK(has(deep.out, "J1.R"));
    CHECK(b.run({"working", "joist.spansheet", "M", "--set", "L=3.6 m"}).status == kAllOk);
    CHECK(b.run({"working", "shed.spanjob", "B1.bending"}).status == kNotOk);
    CHECK(b.run({"working", "joist.spansheet", "M"}).status == kNotOk); // L is not stated
    CHECK(b.run({"working", "joist.spansheet", "L"}).status == kNotOk);
}

TEST_CASE("working names what there is instead") {
    Bench b;
    const Ran bare = b.run({"working", "shed.spanjob", "M"});
    CHECK(bare.status == kNotRead);
    CHECK(has(bare.err, "J1.M, B1.M"));
    const Ran near = b.run({"working", "shed.spanjob", "J1.M_r"});
    CHECK(near.status == kNotRead);
    CHECK(has(near.err, "did you mean `M_R`?"));
    CHECK(b.run({"working", "shed.spanjob", "Z1.M"}).status == kNotRead);
    CHECK(b.run({"working", "nowhere.spanjob", "M"}).status == kNotRead);
    const Ran noCase = b.run({"working", "shed.spanjob", "J1.M", "--case", "uls 1"});
    CHECK(noCase.status == kNotRead);
    CHECK(has(noCase.err, "one value only"));
}

TEST_CASE("cases: the governing one unless another is asked for") {
    Bench b;
    b.files.files["cases.spansheet"] = "sheet cases\nbasis EN 1990:2002\ntable factors by name\nname, G\nlow, 1\nhigh, 2\nend\neach u in factors\n"
                                       "given W = 3 kN\nderive V [kN] = u.G*W\ncheck push: V <= 10 kN\n";
    const Ran governing = b.run({"working", "cases.spansheet", "V"});
    CHECK(governing.status == kAllOk);
    CHECK(has(governing.out, "result  6 kN"));
    const Ran low = b.run({"working", "cases.spansheet", "V", "--case", "low"});
    CHECK(low.status == kAllOk);
    CHECK(has(low.out, "result  3 kN"));
    CHECK(has(b.run({"working", "cases.spansheet", "V", "--case", "lowest"}).err, "cases: low; high"));
    const json all = json::parse(b.run({"check", "cases.spansheet", "--json"}).out);
    bool found = false;
    for (const json& q : all["members"][0]["quantities"]) {
        if (q["name"] != "V") continue;
        found = true;
        CHECK(q["si"].is_null());
        REQUIRE(q["cases"].size() == 2);
        CHECK(q["cases"][1]["case"] == "high");
        CHECK(q["cases"][1]["si"] == 6000.0);
        CHECK(q["cases"][1]["shown"] == "6 kN");
    }
    CHECK(found);
    CHECK(all["members"][0]["checks"][0]["governing_case"] == "high");
    CHECK(all["members"][0]["checks"][0]["utilisation"].get<double>() == doctest::Approx(0.6).epsilon(1e-12));
}

TEST_CASE("set on a sheet that stands alone") {
    Bench b;
    CHECK(b.run({"set", "joist.spansheet", "q", "3 kN/m"}).status == kAllOk);
    std::string expected = cli::sample::kSheet;
    expected.replace(expected.find("2 kN/m"), 6, "3 kN/m");
    CHECK(b.files.files["joist.spansheet"] == expected);
}

TEST_CASE("set edits in place and keeps every other byte") {
    Bench b;
    const Ran r = b.run({"set", "shed.spanjob", "J1.L", "4.1 m"});
    CHECK(r.status == kAllOk);
    std::string expected = cli::sample::kJob;
    expected.replace(expected.find("3.6 m"), 5, "4.1 m");
    CHECK(b.files.files["shed.spanjob"] == expected);
    CHECK(b.files.files["joist.spansheet"] == cli::sample::kSheet);
    SUBCASE("refused: nothing is written") {
        for (const char* value : {"4.1 kg", "20 m", "M_d +"}) {
            CAPTURE(value);
            const Ran refused = b.run({"set", "shed.spanjob", "J1.L", value});
            CHECK(b.files.files["joist.spansheet"] == cli::sample::kSheet);
            if (refused.status != kAllOk) CHECK(b.files.files["shed.spanjob"] == expected);
            if (std::string(value) == "4.1 kg") CHECK(refused.status == kNotRead);
        }
        CHECK(b.run({"set", "shed.spanjob", "J1.M", "3 kN*m"}).status == kNotRead);
    }
    SUBCASE("a read-only place") {
        b.files.readOnly = true;
        const Ran refused = b.run({"set", "shed.spanjob", "J1.L", "4.2 m"});
        CHECK(refused.status == kNotRead);
        CHECK(has(refused.err, "error: "));
        CHECK(b.files.files["shed.spanjob"] == expected);
    }
}

TEST_CASE("report writes beside the job unless told otherwise") {
    Bench b;
    const Ran r = b.run({"report", "shed.spanjob"});
    CHECK(r.status == kNotOk); // as check: B1 fails
    REQUIRE(b.files.files.count("shed.html") == 1);
    CHECK(has(b.files.files["shed.html"], "<!DOCTYPE html>"));
    CHECK(has(r.out, "wrote shed.html"));
    const std::string first = b.files.files["shed.html"];
    (void)b.run({"report", "shed.spanjob", "-o", "again.html"});
    CHECK(b.files.files["again.html"] == first);
    (void)b.run({"report", "shed.spanjob", "-o", "shed.txt"});
    CHECK(has(b.files.files["shed.txt"], "Orchard packing shed\n===="));
    (void)b.run({"report", "shed.spanjob", "-o", "shed.json"});
    CHECK(schemaFaults(b.files.files["shed.json"]) == "");
    CHECK(has(b.run({"report", "shed.spanjob", "-o", "-", "--as", "csv"}).out, "mark,count"));
    CHECK(b.run({"report", "nowhere.spanjob"}).status == kNotRead);
    CHECK(b.files.files.count("nowhere.html") == 0);
}

namespace {

class FakePaper final : public report::PaperWriter {
public:
    [[nodiscard]] std::string write(const report::Document& d, Size size, std::string&) const override {
        std::string out = (size == Size::Letter ? "letter of " : "paper of ") + d.title;
        for (const report::Section& s : d.sections) out += s.mark.empty() ? "" : " " + s.mark;
        return out;
    }
};

} // namespace

TEST_CASE("PDF needs a writer") {
    Bench b;
    const Ran none = b.run({"report", "shed.spanjob", "-o", "shed.pdf"});
    CHECK(none.status == kNotRead);
    CHECK(has(none.err, "without a PDF writer"));
    CHECK(b.files.files.count("shed.pdf") == 0);
    const FakePaper paper;
    CHECK(b.run({"report", "shed.spanjob", "-o", "shed.pdf"}, &paper).status == kNotOk);
    CHECK(b.files.files["shed.pdf"] == "paper of Orchard packing shed J1 B1");
    CHECK(b.run({"report", "shed.spanjob", "-o", "shed.pdf", "-m", "B1", "--size", "letter"}, &paper).status == kNotOk);
    CHECK(b.files.files["shed.pdf"] == "letter of Orchard packing shed B1");
}

TEST_CASE("a report of chosen members says that it is a part") {
    Bench b;
    const auto page = [&](std::vector<std::string> more) {
        std::vector<std::string> line{"report", "shed.spanjob", "-o", "-", "--as", "html"};
        line.insert(line.end(), more.begin(), more.end());
        const Ran r = b.run(line);
        CHECK(r.status == kNotOk); // the whole job's
        return r.out;
    };
    const std::string all = page({}), one = page({"--member", "J1"}), brief = page({"--brief"});
    CHECK(has(all, "id=\"m2\""));
    CHECK_FALSE(has(all, "This print is a part"));
    CHECK(has(one, "It holds J1 of the job"));
    CHECK(has(one, "id=\"m1\""));
    CHECK_FALSE(has(one, "id=\"m2\""));
    CHECK_FALSE(has(one, "href=\"#m2"));
    CHECK(has(one, "B1")); // in the schedule
    CHECK(has(brief, "the calculation itself is not printed"));
    CHECK(has(brief, "id=\"m2\""));
    CHECK_FALSE(has(brief, "class=\"equation\""));
    CHECK(brief.size() < all.size());
    for (const char* form : {"json", "csv"}) CHECK(b.run({"report", "shed.spanjob", "-o", "-", "--as", form, "--brief"}).status == kUsage);
    CHECK(b.run({"report", "shed.spanjob", "-o", "-", "--size", "a4"}).status == kUsage);
    CHECK(b.run({"report", "shed.spanjob", "-o", "x.html", "--member", "J9"}).status == kNotRead);
    CHECK(b.files.files.count("x.html") == 0);
}

TEST_CASE("sheets, start, tidy, explain") {
    Bench b;
    const Ran sheets = b.run({"sheets"});
    CHECK(sheets.status == kAllOk);
    CHECK(has(sheets.out, "eu/joist"));
    CHECK(has(sheets.out, "EN 1995-1-1"));
    CHECK(b.run({"sheets", "--sheets", "elsewhere"}).status == kNotRead);

    const Ran start = b.run({"start", "new", "--with", "eu/joist"});
    CHECK(start.status == kAllOk);
    CHECK(has(b.files.files["new.spanjob"], "L"));
    CHECK(b.run({"check", "new.spanjob"}).status == kNotOk); // L is still asked for
    const std::string before = b.files.files["new.spanjob"];
    CHECK(b.run({"start", "new", "--with", "eu/joist"}).status == kNotRead);
    CHECK(b.files.files["new.spanjob"] == before);
    CHECK(b.run({"start", "other", "--with", "eu/nothing"}).status == kNotRead);
    CHECK(b.files.files.count("other.spanjob") == 0);

    b.files.files["untidy.spanjob"] = "job x\nmember J1 = joist\nwith L=3 m\nwith  q   = 2 kN/m\n";
    CHECK(b.run({"tidy", "untidy.spanjob"}).status == kAllOk);
    const std::string tidied = b.files.files["untidy.spanjob"];
    CHECK(has(b.run({"tidy", "untidy.spanjob"}).out, "is tidy"));
    CHECK(b.files.files["untidy.spanjob"] == tidied);
    b.files.files["binary.spansheet"] = std::string("sheet x\n\0\xff", 10);
    CHECK(b.run({"tidy", "binary.spansheet"}).status == kNotRead);
    CHECK(b.files.files["binary.spansheet"].size() == 10);

    CHECK(has(b.run({"explain", "e402"}).out, "divides by zero"));
    CHECK(has(b.run({"explain"}).out, "F001"));
    CHECK(b.run({"explain", "Z999"}).status == kUsage);
}

TEST_CASE("tick puts letters behind a value, and a change makes them out of date") {
    Bench b;
    const Ran r = b.run({"tick", "shed.spanjob", "J1.M", "--by", "AB", "--on", "2026-05-04"});
    CHECK(r.status == kAllOk);
    const std::string text = b.files.files["shed.spanjob"];
    CHECK(text.rfind(cli::sample::kJob, 0) == 0); // all that stood there still does
    CHECK(has(text, "J1.M by AB on 2026-05-04 letters "));
    const std::string letters = r.out.substr(r.out.find("letters ") + 8, 11);
    CHECK(has(text, letters));
    CHECK(has(b.run({"working", "shed.spanjob", "J1.M"}).out, letters));
    const auto state = [&] { return json::parse(b.run({"check", "shed.spanjob", "--json"}).out)["ticks"][0]["state"].get<std::string>(); };
    CHECK(state() == "in order");
    (void)b.run({"set", "shed.spanjob", "J1.L", "3.7 m"});
    CHECK(state() == "out of date");
    CHECK(b.run({"tick", "shed.spanjob", "J1.nothing", "--by", "AB", "--on", "2026-05-04"}).status == kNotRead);
}

TEST_CASE("what is printed depends on the files alone") {
    Bench a;
    Bench b;
    for (const std::vector<std::string>& line : {std::vector<std::string>{"check", "shed.spanjob"},
                                                 {"check", "shed.spanjob", "--json"},
                                                 {"working", "shed.spanjob", "B1.M", "--deep", "9"},
                                                 {"report", "shed.spanjob", "-o", "-"}})
        CHECK(a.run(line).out == b.run(line).out);
}
