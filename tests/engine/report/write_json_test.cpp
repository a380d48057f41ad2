// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <limits>
#include <nlohmann/json.hpp>

#include "engine/report/write.h"
#include "tests/engine/report/golden.h"
#include "tests/engine/report/json_schema.h"

using namespace spanwright::report;
using nlohmann::json;

namespace {

json schema() { return json::parse(sample::readFile(std::string(SPANWRIGHT_SOURCE_DIR) + "/engine/report/check.schema.json")); }

std::string faultsOf(const json& value) {
    const json s = schema();
    std::string out;
    for (const std::string& f : sample::schemaFaults(s, s, value)) out += f + "\n";
    return out;
}

} // namespace

TEST_CASE("the JSON is what the schema says") {
    const std::string text = writeJson(sample::job());
    sample::compareGolden("check.json", text);
    const json value = json::parse(text);
    CHECK(faultsOf(value) == "");
    const json& moment = value["members"][0]["quantities"][1];
    CHECK(moment["name"] == "M_d");
    CHECK(moment["si"].is_null());
    CHECK(moment["cases"][1]["si"] == 2106.0);
    CHECK(value["members"][0]["checks"][0]["cases"][1]["right_si"] == 14.1e6);
    CHECK(value["diagnostics"][0]["place"]["line"] == 8);
    CHECK(value["cautions"].size() == 10);
}

TEST_CASE("hostile texts stay inside their quotes") {
    const json value = json::parse(writeJson(sample::job(sample::hostile)));
    CHECK(faultsOf(value) == "");
    CHECK(value["cover"]["title"].get<std::string>().find("<script>") != std::string::npos);
}

TEST_CASE("what is no number is null, and numbers read back to the same double") {
    JobFacts f = sample::job();
    f.members[0].rows[0].si = 0.1 + 0.2;
    f.members[0].rows[1].cases[0].si = std::numeric_limits<double>::quiet_NaN();
    f.members[0].view.checks[0].utilisation = std::numeric_limits<double>::infinity();
    const std::string text = writeJson(f);
    const json value = json::parse(text);
    CHECK(faultsOf(value) == "");
    CHECK(value["members"][0]["quantities"][0]["si"].get<double>() == 0.1 + 0.2);
    CHECK(value["members"][0]["quantities"][1]["cases"][0]["si"].is_null());
    CHECK(value["members"][0]["checks"][0]["utilisation"].is_null());
    CHECK(text.find("nan") == std::string::npos);
}

TEST_CASE("the schema refuses what is wrong") {
    const json good = json::parse(writeJson(sample::job()));
    const auto broken = [&](const char* pointer, const json& v) {
        json copy = good;
        copy[json::json_pointer(pointer)] = v;
        return faultsOf(copy);
    };
    CHECK(broken("/verdict", "PASSED") != "");
    CHECK(broken("/status", 2) != "");
    CHECK(broken("/more", 1) != "");
    CHECK(broken("/members/0/quantities/0/si", "0.4") != "");
    CHECK(broken("/members/0/quantities/0/kind", "cell") != "");
    CHECK(broken("/members/0/count", 0) != "");
    CHECK(broken("/cautions", json::array()) != "");
    CHECK(broken("/diagnostics/0/code", "X") != "");
    CHECK(broken("/diagnostics/0/place/line", 0) != "");
    CHECK(broken("/members/0/checks/0/cases/0/state", "OK") != "");
    json missing = good;
    missing.erase("fingerprint");
    CHECK(faultsOf(missing) != "");
    const json odd = {{"unheard", 1}};
    CHECK_FALSE(sample::schemaFaults(odd, odd, good).empty());
}
