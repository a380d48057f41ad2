// SPDX-License-Identifier: MIT
// What the pages show as output is what the program prints: the worked mistakes of sheets/README.md are the golden
// messages, and the sheet in README.md is OK as it stands there.
#include <doctest/doctest.h>

#include <fstream>
#include <regex>
#include <sstream>
#include <string>

#include "engine/io/files.h"
#include "engine/job/job.h"

using namespace spanwright;

namespace {

std::string page(const std::string& name) {
    std::ifstream in(std::string(SPANWRIGHT_SOURCE_DIR) + "/" + name, std::ios::binary);
    std::ostringstream out;
    out << in.rdbuf();
    return out.str();
}

/// The text between the next pair of ``` lines from `at` on.
std::string block(const std::string& text, std::size_t at) {
    const std::size_t open = text.find("```\n", at);
    const std::size_t close = text.find("```", open + 4);
    return open == std::string::npos || close == std::string::npos ? std::string() : text.substr(open + 4, close - open - 4);
}

} // namespace

TEST_CASE("the ten worked mistakes of the language reference are what people get") {
    const std::string readme = page("sheets/README.md");
    std::size_t found = 0;
    const std::regex mark("<!-- mistake ([a-z_]+) -->");
    for (std::sregex_iterator it(readme.begin(), readme.end(), mark), end; it != end; ++it, ++found) {
        const std::string name = (*it)[1];
        INFO(name);
        std::string expected = page("tests/golden/mistakes/" + name + "/expected.txt");
        REQUIRE_FALSE(expected.empty());
        expected = std::regex_replace(expected, std::regex("(^|\n)[A-Z][0-9]{3} "), "$1");
        expected = expected.substr(0, expected.rfind("verdict:"));
        CHECK(block(readme, static_cast<std::size_t>(it->position())) == expected);
    }
    CHECK(found == 10);
}

TEST_CASE("the sheet of the first page works as it stands there") {
    const std::string readme = page("README.md");
    io::Memory files;
    files.files["shelf.spansheet"] = block(readme, readme.find("Save this as"));
    REQUIRE_FALSE(files.files["shelf.spansheet"].empty());
    const auto job = job::Job::open(files, "shelf.spansheet", {.library = "library", .cancelled = {}});
    for (const auto& d : job->diagnostics()) CHECK_MESSAGE(d.severity != diag::Severity::Error, d.message);
    CHECK(job->verdict() == job::Verdict::NotProven); // P is not stated yet
    REQUIRE(job->override(job->member(0).mark, "P", "200 N").ok());
    CHECK(job->verdict() == job::Verdict::Ok);
    // by hand: 200 N * 0.8 m / 4 = 40 N*m; 250 * 18^2 / 6 = 13500 mm^3; 40e3 / 13500 = 2.963 N/mm^2 <= 6
    REQUIRE(job->member(0).checks.at(0).utilisation.has_value());
    CHECK(*job->member(0).checks.at(0).utilisation == doctest::Approx(40.0e3 / 13500 / 6).epsilon(1e-12));
}
