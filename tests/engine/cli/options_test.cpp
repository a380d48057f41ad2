// SPDX-License-Identifier: MIT
#include "engine/cli/options.h"

#include <doctest/doctest.h>

#include <fstream>
#include <sstream>

#include "engine/cli/run.h"

using namespace spanwright::cli;

namespace {

template <class T> T read(const std::vector<std::string>& line) {
    const Request r = readOptions(line);
    REQUIRE_MESSAGE(!r.stop, r.problem);
    REQUIRE(std::holds_alternative<T>(r.command));
    return std::get<T>(r.command);
}

} // namespace

TEST_CASE("check") {
    const auto o = read<CheckOptions>({"check", "a.spanjob", "--set", "J1.L=4.1 m", "-s", "J1.n=-3", "--member=J1", "--explain"});
    CHECK(o.file == "a.spanjob");
    CHECK(o.set == std::vector<std::string>{"J1.L=4.1 m", "J1.n=-3"});
    CHECK(o.member == "J1");
    CHECK(o.explain);
    CHECK_FALSE(o.json);
    // --set takes one word, not the file behind it.
    CHECK(read<CheckOptions>({"check", "--set", "L=4 m", "a.spansheet"}).file == "a.spansheet");
    CHECK(read<CheckOptions>({"check", "--json", "--", "-odd-name.spanjob"}).file == "-odd-name.spanjob");
}

TEST_CASE("the other commands") {
    CHECK(read<WorkingOptions>({"working", "a", "J1.M_d", "--deep", "2", "--case", "uls 2"}).deep == 2);
    CHECK(read<SetOptions>({"set", "a", "J1.x", "-3 m"}).value == "-3 m");
    CHECK(read<ReportOptions>({"report", "a", "-o", "b.html"}).out == "b.html");
    CHECK(read<ReportOptions>({"report", "a", "--out", "-", "--as", "text"}).as == "text");
    CHECK(read<StartOptions>({"start", "a", "--with", "eu/floor-joist"}).sheet == "eu/floor-joist");
    CHECK(read<TidyOptions>({"tidy", "a.spanjob"}).file == "a.spanjob");
    CHECK(read<TickOptions>({"tick", "a", "J1.M", "--by", "AB", "--on", "2026-05-04"}).on == "2026-05-04");
    CHECK(read<ExplainOptions>({"explain", "M303"}).code == "M303");
    CHECK(read<ExplainOptions>({"explain"}).code.empty());
    CHECK(readOptions({"--sheets", "lib", "sheets"}).sheets == "lib");
    CHECK(readOptions({"sheets", "--sheets", "lib"}).sheets == "lib");
}

TEST_CASE("wrong usage is said and ends with 2") {
    const std::vector<std::vector<std::string>> lines = {
        {},
        {"chekc"},
        {"check"},
        {"check", "a", "b"},
        {"check", "a", "--nonsense"},
        {"check", "a", "--set", "L"},
        {"check", "a", "--set", "=3"},
        {"check", "a", "--set", "L="},
        {"check", "a", "--json", "--csv"},
        {"check", "a", "--json", "--explain"},
        {"working", "a"},
        {"working", "a", "M", "--deep", "many"},
        {"working", "a", "M", "--deep", "-1"},
        {"set", "a", "L"},
        {"report", "a", "--as", "doc"},
        {"start", "a"},
        {"tidy", "notes.txt"},
        {"tick", "a", "J1.M", "--by", "AB"},
        {"tick", "a", "J1.M", "--by", "AB", "--on", "4 May"},
        {"tick", "a", "J1.M", "--by", "AB", "--on", "2026-13-01"},
        {"tick", "a", "J1.M", "--by", "A\nB", "--on", "2026-05-04"},
        {"--nonsense"},
    };
    for (const auto& line : lines) {
        std::string words;
        for (const std::string& w : line) words += w + " ";
        CAPTURE(words);
        const Request r = readOptions(line);
        CHECK(r.stop);
        CHECK(r.status == kUsage);
        CHECK(r.problem.rfind("spanwright", 0) == 0);
        CHECK(r.problem.find("--help") != std::string::npos);
        CHECK(r.text.empty());
    }
}

TEST_CASE("help teaches by example and fits the terminal; version says which") {
    for (const char* command : {"", "check", "working", "set", "report", "sheets", "start", "tidy", "tick", "explain", "cut", "price", "compare", "bench",
                                "joints", "vary", "reach", "weigh", "sure"}) {
        CAPTURE(command);
        const Request r = *command == 0 ? readOptions({"--help"}) : readOptions({command, "--help"});
        CHECK(r.stop);
        CHECK(r.status == 0);
        CHECK(r.text == helpText(command));
        CHECK(r.text.find("spanwright " + std::string(command)) != std::string::npos);
        if (*command != 0) CHECK(r.text.find("example") != std::string::npos);
        std::size_t begin = 0;
        while (begin < r.text.size()) {
            const std::size_t end = r.text.find('\n', begin);
            CHECK_MESSAGE(end - begin <= 80, r.text.substr(begin, end - begin));
            begin = end + 1;
        }
    }
    CHECK(readOptions({"help", "set"}).text == helpText("set"));
    CHECK(readOptions({"--version"}).text.rfind("spanwright ", 0) == 0);
}

TEST_CASE("every option that is read is in its help page") {
    const auto has = [](const char* command, const char* option) {
        CHECK_MESSAGE(helpText(command).find(option) != std::string::npos, command << " " << option);
    };
    for (const char* o : {"--member", "--set", "--json", "--csv", "--explain"}) has("check", o);
    for (const char* o : {"--deep", "--case", "--set"}) has("working", o);
    for (const char* o : {"--out", "--as", "--plots", "--set"}) has("report", o);
    for (const char* o : {"--json", "--csv", "--drawings", "--seconds", "--progress", "--prices", "--set"}) has("cut", o);
    for (const char* o : {"--json", "--csv", "--workings", "--seconds", "--prices", "--set"}) has("price", o);
    for (const char* o : {"--json", "--seconds", "--prices", "--set"}) has("compare", o);
    for (const char* o : {"--out", "--inches", "--seconds", "--prices", "--set"}) has("bench", o);
    has("joints", "--write");
    for (const char* o : {"--over", "--show", "--largest", "--smallest", "--plot", "--json", "--csv", "--set"}) has("vary", o);
    for (const char* o : {"--largest", "--smallest", "--with", "--until", "--within", "--by", "--apply", "--json", "--set"}) has("reach", o);
    for (const char* o : {"--plot", "--json", "--set"}) has("weigh", o);
    for (const char* o : {"--member", "--samples", "--seed", "--normal", "--calculated", "--plots", "--json", "--set"}) has("sure", o);
    has("start", "--with");
    for (const char* o : {"--by", "--on"}) has("tick", o);
    for (const char* o : {"--sheets", "--help", "--version"}) has("", o);
}

TEST_CASE("the man page names every command and option") {
    std::ifstream in(std::string(SPANWRIGHT_SOURCE_DIR) + "/engine/cli/spanwright.1", std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    const std::string page = text.str();
    for (const char* command : {"check", "working", "set", "report", "sheets", "start", "tidy", "tick", "explain", "cut", "price", "compare", "bench", "joints",
                                "vary", "reach", "weigh", "sure"})
        CHECK_MESSAGE(page.find(".TP\n.B " + std::string(command) + "\n") != std::string::npos, command);
    for (const char* option : {"member", "set",    "json", "csv",     "explain", "deep",    "case",     "out",      "as",       "plots",  "with", "by",
                               "on",     "sheets", "help", "version", "prices",  "seconds", "progress", "drawings", "workings", "inches", "write"})
        CHECK_MESSAGE(page.find("\\-\\-" + std::string(option)) != std::string::npos, option);
}
