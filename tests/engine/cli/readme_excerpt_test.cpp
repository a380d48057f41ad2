// SPDX-License-Identifier: MIT
// What README.md shows of the example is what the command prints today.
#include <doctest/doctest.h>

#include <cstdio>
#include <fstream>
#include <sstream>
#include <string>

TEST_CASE("the excerpt in README.md stands in the output of the example") {
    std::ifstream in(std::string(SPANWRIGHT_SOURCE_DIR) + "/README.md", std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    const std::string readme = text.str();
    const std::size_t from = readme.find("<!-- excerpt -->");
    const std::size_t to = readme.find("<!-- end of excerpt -->");
    REQUIRE(from != std::string::npos);
    REQUIRE(to != std::string::npos);

    FILE* pipe = popen((std::string(SPANWRIGHT_BINARY_DIR) + "/engine/cli/spanwright check " + SPANWRIGHT_SOURCE_DIR + "/examples/packing-shed/packing-shed.spanjob 2>&1").c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::string output;
    char buffer[4096];
    for (std::size_t n = 0; (n = fread(buffer, 1, sizeof buffer, pipe)) > 0;) output.append(buffer, n);
    pclose(pipe);

    std::istringstream lines(readme.substr(from, to - from));
    std::size_t shown = 0;
    for (std::string line; std::getline(lines, line);) {
        if (line.empty() || line.starts_with("<!--") || line.starts_with("```") || line == "...") continue;
        INFO(line);
        CHECK(output.find(line) != std::string::npos);
        ++shown;
    }
    CHECK(shown >= 10);
}
