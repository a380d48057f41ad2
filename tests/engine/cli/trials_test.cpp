// SPDX-License-Identifier: MIT
// vary and reach as commands: what they print, what they refuse, what they write.
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "engine/cli/run.h"
#include "tests/engine/trial/bench.h"

using namespace spanwright;

namespace {

struct Ran {
    int status = 0;
    std::string out, err;
};

struct Shed {
    io::Memory files;
    explicit Shed(const std::string& job = trial::tests::kOneJoist) {
        files.files["work/joist.spansheet"] = trial::tests::kJoist;
        files.files["work/post.spansheet"] = trial::tests::kPost;
        files.files["work/grades.csv"] = trial::tests::kGrades;
        files.files["work/shed.spanjob"] = job;
    }
    Ran run(std::vector<std::string> line) {
        line.insert(line.begin() + 1, "work/shed.spanjob");
        std::ostringstream out, err;
        Ran r;
        r.status = cli::run(line, {files, out, err, "library"});
        r.out = out.str();
        r.err = err.str();
        return r;
    }
};

} // namespace

TEST_CASE("a table over one value, with the place where passing begins") {
    Shed shed;
    const Ran r = shed.run({"vary", "--over", "J1.h from 140 mm to 260 mm by 40 mm", "--show", "J1.M", "J1.sag"});
    CHECK(r.err.empty());
    CHECK(r.status == 0);
    CHECK(r.out.find("passes from h = ") != std::string::npos);
    CHECK(r.out.find("FAILS") != std::string::npos);
    CHECK(r.out.find("180 mm") != std::string::npos);
    const Ran csv = shed.run({"vary", "--over", "J1.h in 140 mm, 260 mm", "--show", "J1.M", "--csv"});
    CHECK(csv.out.substr(0, csv.out.find('\n')) == "J1.h [mm],verdict,utilisation,governing check,J1.M [kN*m]");
    const Ran json = shed.run({"vary", "--over", "J1.grade", "--over", "J1.h in 180 mm, 260 mm", "--json"});
    const auto j = nlohmann::json::parse(json.out);
    CHECK(j["points"].size() == 6);
    CHECK(j["over"][0]["values"][2] == "C30");
    CHECK(shed.run({"vary", "--over", "J1.h from 140 mm to 260 mm by 20 mm", "--plot", "work/h.svg"}).status == 0);
    const std::string svg = shed.files.files["work/h.svg"];
    CHECK(svg.find("<svg") != std::string::npos);
    CHECK(svg.find("passes from") != std::string::npos);
    CHECK(svg.find("NaN") == std::string::npos);
}

TEST_CASE("a span table") {
    Shed shed;
    const Ran r = shed.run({"vary", "--over", "J1.grade in C18, C30", "--over", "J1.h in 200 mm, 240 mm", "--largest", "J1.L"});
    CHECK(r.status == 0);
    // sag governs: L^3 = 384 E I/(5*300 w), 46.08 m^3 and 106.2 m^3
    CHECK(r.out.find("largest L by grade and h") != std::string::npos);
    CHECK(r.out.find("3.585 m") != std::string::npos);
    CHECK(r.out.find("4.735 m") != std::string::npos);
}

TEST_CASE("how far a value can go, and what ends it") {
    Shed shed;
    const Ran largest = shed.run({"reach", "--largest", "J1.L"});
    CHECK(largest.status == 0);
    CHECK(largest.out.find("L = 4.599 m") != std::string::npos); // 384 E I/(5*300 w) to the third
    CHECK(largest.out.find("sag") != std::string::npos);
    CHECK(largest.out.find("401 places") != std::string::npos);
    CHECK(shed.files.files["work/shed.spanjob"] == trial::tests::kOneJoist);
    const Ran applied = shed.run({"reach", "--smallest", "J1.h", "--apply"});
    CHECK(applied.status == 0);
    CHECK(shed.files.files["work/shed.spanjob"].find("with h = 208.8 mm") != std::string::npos);
    CHECK(Shed(trial::tests::kOneJoist + "with h = 260 mm\n").run({"reach", "--smallest", "J1.grade"}).out.find("grade = C18") != std::string::npos);
    const Ran until = shed.run({"reach", "--with", "J1.L", "--until", "J1.M=9 kN*m"});
    CHECK(until.status == 0);
    CHECK(until.out.find("L = 6 m") != std::string::npos);
    const auto byCost = nlohmann::json::parse(Shed().run({"reach", "--smallest", "J1.h in 300 mm, 220 mm", "--by", "b*h", "--json"}).out);
    CHECK(byCost["answer"].get<double>() == 220);
    CHECK(byCost["options"][0]["order"].get<double>() == doctest::Approx(0.06 * 0.22));
}

TEST_CASE("nothing passes: the check that fails everywhere and by how much at best") {
    Shed shed("job Shed\nmember J1 = joist\nwith w = 40 kN/m\n");
    const Ran r = shed.run({"reach", "--smallest", "J1.b from 20 mm to 80 mm"});
    CHECK(r.status == 3);
    CHECK(r.err.find("[T903]") != std::string::npos);
    CHECK(r.out.find("nothing passes") != std::string::npos);
    CHECK(r.out.find("fails everywhere, at best") != std::string::npos);
    const Ran missing = Shed("job Shed\nmember J1 = joist\n").run({"reach", "--smallest", "J1.h"});
    CHECK(missing.status == 3);
    CHECK(missing.out.find("is not stated") != std::string::npos);
    const Ran never = Shed().run({"reach", "--with", "J1.L", "--until", "J1.M=900 kN*m"});
    CHECK(never.status == 3);
    CHECK(never.out.find("lies between") != std::string::npos);
}

TEST_CASE("what weighs, and whether it is sure") {
    Shed shed(trial::tests::kOneJoist + "with b = 60 mm +- 3 mm\n");
    const Ran weigh = shed.run({"weigh", "J1.sag", "--plot", "work/w.svg"});
    CHECK(weigh.status == 0);
    CHECK(weigh.out.find("-3 %") != std::string::npos);
    CHECK(weigh.out.find("exact") != std::string::npos);
    CHECK(shed.files.files["work/w.svg"].find("hatch") != std::string::npos);
    CHECK(nlohmann::json::parse(shed.run({"weigh", "J1.M", "--json"}).out)["weights"].size() == 2);
    const Ran sure = shed.run({"sure", "--plots", "work/plots"});
    CHECK(sure.status == 0);
    CHECK(sure.out.find("proved: never above") != std::string::npos);
    CHECK(sure.out.find("passes for every b from 57 mm to 63 mm (proved)") != std::string::npos);
    CHECK(shed.files.files.count("work/plots/J1-sag.svg") == 1);
    CHECK(nlohmann::json::parse(shed.run({"sure", "--json"}).out)[0]["checks"].size() == 2);
    const Ran fails = shed.run({"sure", "--set", "J1.b=45 mm +- 8 mm"});
    CHECK(fails.status == 3);
    CHECK(fails.out.find("starts to fail below b = ") != std::string::npos);
    CHECK(Shed().run({"sure"}).out.find("no value has a tolerance") == 0);
    CHECK(shed.run({"sure", "--member", "J7"}).status == 1);
    CHECK(shed.run({"sure", "--samples", "0"}).status == 2);
    CHECK(shed.run({"weigh", "J1.nothing"}).status == 1);
}

TEST_CASE("samples that were read off say so, through what and how well") {
    Shed shed(trial::tests::kOneJoist + "with b = 60 mm +- 3 mm\n");
    std::string& sheet = shed.files.files["work/joist.spansheet"];
    for (int i = 0; i < 40; ++i) sheet += "derive m_" + std::to_string(i) + " [kN*m] = largest(w*x*(L - x)/2*(1 + b*x/100 m^2), x from 0 m to L)\n";
    sheet += "check along: m_0/W <= grade.f\n";
    const Ran read = shed.run({"sure"});
    CHECK(read.status == 0);
    CHECK(read.out.find("OK at 100 % of 10000 samples") != std::string::npos);
    CHECK(read.out.find("read off") != std::string::npos);
    const auto json = nlohmann::json::parse(shed.run({"sure", "--json"}).out)[0];
    CHECK(json["samples"] == 10000);
    CHECK(json["places_calculated"] < 1000);
    CHECK(json["read_off"]["through"] < json["places_calculated"]);
    CHECK(json["read_off"]["off"] <= 0.0005);
    CHECK(json["checks"][0]["places"] == json["places_calculated"]);
    const auto all = nlohmann::json::parse(shed.run({"sure", "--samples", "300", "--calculated", "--json", "--pin"}).out)[0];
    CHECK(all["read_off"].is_null());
    CHECK(all["places_calculated"] == 303);
    CHECK(shed.files.files["work/shed.spanjob"].find("trial   sure samples 300 calculated\n") != std::string::npos);
    CHECK(shed.run({"check"}).status == 0);
}

TEST_CASE("bad requests are refused in words, and nothing is written") {
    Shed shed;
    const auto code = [&](const std::vector<std::string>& line) {
        const Ran r = shed.run(line);
        const std::size_t at = r.err.find('[');
        return std::to_string(r.status) + " " + (at == std::string::npos ? r.err : r.err.substr(at + 1, 4));
    };
    CHECK(code({"vary", "--over", "J1.h from 400 mm to 200 mm"}) == "1 T901");
    CHECK(code({"vary", "--over", "J1.h from 1 mm to 400 mm by 0 mm"}) == "1 T901");
    CHECK(code({"vary", "--over", "J1.h from 0 m to 1 m by 0.001 mm", "--over", "J1.L from 0 m to 1 m by 0.001 mm"}).substr(0, 6) == "1 T902");
    CHECK(code({"vary", "--over", "J1.h in 1 m", "--over", "J1.b in 1 m", "--over", "J1.L in 1 m", "--over", "J1.w in 1 kN/m"}) == "1 T901");
    CHECK(code({"vary", "--over", "J1.M in 1 kN*m"}) == "1 J603");
    CHECK(code({"vary", "--over", "J7.h in 1 m"}) == "1 J601");
    CHECK(code({"vary", "--over", "J1.h in 1 m", "--show", "J1.nothing"}) == "1 M301");
    CHECK(code({"reach", "--with", "J1.h", "--until", "J1.M"}) == "1 T901");
    CHECK(code({"reach", "--largest", "J1.h from 1 kN to 2 kN"}) == "1 M303");
    CHECK(code({"reach", "--with", "J1.h"}).substr(0, 1) == "2");
    CHECK(code({"reach"}).substr(0, 1) == "2");
    CHECK(code({"vary"}).substr(0, 1) == "2");
    CHECK(shed.run({"reach", "--largest", "J1.L", "--apply", "--set", "J1.w=1 kN/m"}).status == 1);
    CHECK(shed.files.files["work/shed.spanjob"] == trial::tests::kOneJoist);
}

TEST_CASE("--pin writes the question into the job, once, and never with values that are not in the file") {
    Shed shed;
    CHECK(shed.run({"vary", "--over", "J1.h from 140 mm to 260 mm by 40 mm", "--over", "J1.grade in C24, C30", "--show", "J1.M", "--pin"}).status == 0);
    CHECK(shed.run({"reach", "--largest", "J1.L", "--pin"}).status == 0);
    CHECK(shed.run({"reach", "--with", "J1.h", "--until", "J1.u=10 mm", "--pin"}).status == 0);
    CHECK(shed.run({"weigh", "bending", "--pin"}).out.find("pinned into work/shed.spanjob: trial weigh J1.bending\n") != std::string::npos);
    CHECK(shed.run({"sure", "--samples", "100", "--pin"}).status == 0);
    const std::string text = shed.files.files["work/shed.spanjob"];
    CHECK(text == trial::tests::kOneJoist +
                      "\ntrial   vary J1.h from 140 mm to 260 mm by 40 mm and J1.grade in C24, C30 show J1.M\ntrial   reach largest J1.L\n"
                      "trial   reach J1.h until J1.u = 10 mm\ntrial   weigh J1.bending\ntrial   sure samples 100\n");
    const Ran twice = shed.run({"weigh", "J1.bending", "--pin"});
    CHECK(twice.status == 1);
    CHECK(twice.err.find("pinned already") != std::string::npos);
    CHECK(shed.run({"weigh", "J1.sag", "--set", "J1.h=300 mm", "--pin"}).status == 1);
    CHECK(shed.run({"vary", "--over", "J1.h from 140 mm to 260 mm by 0.01 mm", "--csv", "--pin"}).err.find("at most 2000") != std::string::npos);
    CHECK(shed.files.files["work/shed.spanjob"] == text);
    // The report works each out anew.
    const Ran report = shed.run({"report", "-o", "-", "--as", "text"});
    CHECK(report.out.find("settings: trial reach largest J1.L") != std::string::npos);
    CHECK(shed.run({"report", "-o", "-", "--as", "html"}).out == shed.run({"report", "-o", "-", "--as", "html"}).out);
}
