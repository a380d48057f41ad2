// SPDX-License-Identifier: MIT
// cut, price, compare, bench and joints as somebody types them.
#include <doctest/doctest.h>

#include <cstdlib>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <numeric>
#include <sstream>

#include "tests/engine/cli/bench.h"

using namespace spanwright::cli;
using namespace spanwright::cli::sample;
using json = nlohmann::json;

namespace {

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

constexpr const char* kBeam = R"(sheet   beam
title   A beam to cut
caution Look at the joints on site.
schedule section = b by h
table   classes by class
class, rho_mean [kg/m^3]
C24, 420
end
choose  grade = C24 from classes
list    flange_joints by joint
joint, flange [text], at [m], R [kN]
end
each    fj in flange_joints
each    fk in flange_joints
given   L = 6 m
given   b = 47 mm
given   h = 195 mm
given   h_r = 0.4 m
given   apart = 500 mm
given   w_c = 10 mm
derive  x_A [m] = 0 m
derive  x_B [m] = L
derive  force [kN] = 12 (kN/m^2)*fj.at*(L - fj.at)
derive  part_from [m] = largest(if(fk.flange == fj.flange and fk.at < fj.at, fk.at, x_A), over fk)
derive  top_last [m] = if(count(fj.flange == "top", over fj) > 0, largest(if(fj.flange == "top", fj.at, x_A), over fj), x_A)
derive  low_last [m] = if(count(fj.flange == "bottom", over fj) > 0, largest(if(fj.flange == "bottom", fj.at, x_A), over fj), x_A)
derive  w_inst [mm] = 8 mm*b/(47 mm)
check   bending: b <= 90 mm
check   deflection: w_inst <= 20 mm
check   splice: force <= fj.R
require joints_apart: fj == fk or abs(fj.at - fk.at) >= apart
define  h_x(x [m]) = h + (h_r - h)*x/L
plot    h_x(x) [mm], x from 0 m to L       -- depth
piece   flange = 1 off, b by h by fj.at - part_from from grade, at (fj.at + part_from)/2, groove fj.at - part_from, deep 20 mm, glue (fj.at - part_from)*40 mm
piece   top_flange = 1 off, b by h by x_B - top_last from grade, at (x_B + top_last)/2, groove x_B - top_last, deep 20 mm
piece   bottom_flange = 1 off, b by h by x_B - low_last from grade, at (x_B + low_last)/2
)";

constexpr const char* kShopJob = R"(job     Orchard packing shed
date    2026-05-04
stock   s195 = C24, 47 mm by 195 mm by 4.8 m, 3.90 EUR/m on 2026-04-20 until 2026-06-30
saw     kerf 3.2 mm, trim 20 mm, keep 500 mm by 100 mm
labour  groove = 2 min/m, 30 EUR/h on 2026-04-20
labour  member = 1 h, 30 EUR/h on 2026-04-20
tool    bit = groove, 48 EUR on 2026-04-20, life 20 m, used 15 m, pass 8 mm
consumable resin = glue, 350 g/m^2, 14.50 EUR/kg on 2026-04-20
member  B1 = beam                     -- over the door
        off   2
        list  flange_joints
        joint, flange [text], at [m], R [kN]
        1, top, 4, 100
        2, bottom, 2, 100
        end
member  B2 = beam                     -- the same, broader
        off   2
        instead of B1
        with  L = 4.5 m
)";

struct Shop : Bench {
    Shop() {
        files.files["beam.spansheet"] = kBeam;
        files.files["work.spanjob"] = kShopJob;
    }
};

} // namespace

TEST_CASE("cut says what to buy and how good the plan is, in every form alike") {
    Shop b;
    const Ran r = b.run({"cut", "work.spanjob"});
    CHECK_MESSAGE(r.status == 0, r.err);
    CHECK(has(r.out, "6 boards; at least 6 are needed, so this is the least"));
    CHECK(has(r.out, "B1 top_flange"));
    CHECK(has(r.out, "B2, which stands in place of B1"));
    CHECK(r.out == b.run({"cut", "work.spanjob"}).out);

    const json j = json::parse(b.run({"cut", "work.spanjob", "--json"}).out);
    CHECK(j["plans"][0]["boards"] == 6);
    CHECK(j["plans"][0]["proven"] == true);
    std::size_t pieces = 0;
    for (const json& board : j["plans"][0]["stock_pieces"]) pieces += board["pieces"].size() * board["times"].get<std::size_t>();
    CHECK(pieces == 8);
    CHECK(j["parts"][0]["thickness_mm"] == 47.0);

    const std::string csv = b.run({"cut", "work.spanjob", "--csv"}).out;
    CHECK(std::count(csv.begin(), csv.end(), '\n') == 9); // a head and eight parts
    CHECK(has(csv, "B1 flange 1,1,B1,flange,47,195,195,4000,C24,s195,"));

    CHECK(b.run({"cut", "work.spanjob", "--drawings", "out"}).status == 0);
    CHECK(b.files.files.count("out/board-1.svg") == 1);
    CHECK(has(b.files.files["out/board-1.svg"], "<svg"));
}

TEST_CASE("drawings make the folder that they go into") {
    std::string folder = (std::filesystem::temp_directory_path() / "spanwright-cli-XXXXXX").string();
    REQUIRE(::mkdtemp(folder.data()) != nullptr);
    spanwright::io::Disk disk;
    const Shop b;
    for (const auto& [name, bytes] : b.files.files) {
        std::filesystem::create_directories(std::filesystem::path(folder + "/" + name).parent_path());
        REQUIRE(disk.write(folder + "/" + name, bytes).ok());
    }
    std::ostringstream out, err;
    const std::string drawings = folder + "/new/drawings";
    CHECK(run({"cut", folder + "/work.spanjob", "--drawings", drawings}, {disk, out, err, folder + "/lib", nullptr}) == 0);
    CHECK(err.str().empty());
    CHECK(std::filesystem::exists(drawings + "/board-1.svg"));
    std::filesystem::remove_all(folder);
}

TEST_CASE("price adds up in its JSON and CSV, and reprices") {
    Shop b;
    const Ran r = b.run({"price", "work.spanjob", "--workings"});
    CHECK_MESSAGE(r.status == 0, r.err);
    CHECK(has(r.out, "3.90 EUR/m x 4.8 m x 6"));
    const json j = json::parse(b.run({"price", "work.spanjob", "--json"}).out);
    long sum = 0;
    for (const json& line : j["lines"]) {
        sum += line["amount"].get<long>();
        long shares = 0;
        for (const json& s : line["shares"]) shares += s.get<long>();
        CHECK(shares == line["amount"].get<long>());
    }
    CHECK(sum == j["total"].get<long>());
    CHECK(j["proven"] == true);
    CHECK(has(b.run({"price", "work.spanjob", "--csv"}).out, "material,s195,"));

    b.files.files["autumn.csv"] = "item [text], price [text], on [text], until [text]\ns195, 5 EUR/m, 2026-03-01, 2026-04-01\n";
    const Ran late = b.run({"price", "work.spanjob", "--prices", "autumn.csv"});
    CHECK(late.status == 3);
    CHECK(has(late.err, "autumn.csv:2:"));
    CHECK(has(late.err, "expired on 2026-04-01"));
    CHECK(has(late.out, "NOT PROVEN"));
    CHECK(has(late.out, "144.00 EUR"));
    CHECK(b.run({"price", "work.spanjob", "--prices", "nowhere.csv"}).status == 1);
    CHECK(b.run({"price", "joist.spansheet"}).status == 1);
}

TEST_CASE("prices with a range say from what to what, in every form alike, and in a comparison") {
    Shop b;
    CHECK_FALSE(has(b.run({"price", "work.spanjob"}).out, "EUR, from"));
    CHECK_FALSE(has(b.run({"compare", "work.spanjob", "B1", "B2"}).out, "at the lowest prices"));
    std::string text = b.files.files["work.spanjob"];
    text.replace(text.find("3.90 EUR/m on"), 10, "3.90 EUR/m +- 10 %");
    b.files.files["work.spanjob"] = text;
    const Ran r = b.run({"price", "work.spanjob", "--workings"});
    CHECK_MESSAGE(r.status == 0, r.err);
    // 6 boards x 4.8 m x 3.51, 3.90 and 4.29.
    CHECK(has(r.out, "EUR, from"));
    CHECK(has(r.out, "112.32 EUR"));
    CHECK(has(r.out, "123.55"));
    CHECK(has(r.out, "101.09"));
    CHECK(has(r.out, "prices may all"));
    const json j = json::parse(b.run({"price", "work.spanjob", "--json"}).out);
    CHECK(j["ranged"] == true);
    CHECK(j["lines"][0]["working"]["put_in"] == "(3.90 EUR/m +- 10 %) x 4.8 m x 6");
    CHECK(j["lines"][0]["working"]["result"] == "112.32 EUR (101.09 to 123.55 EUR)");
    CHECK(j["to"].get<long>() - j["total"].get<long>() == 1123);
    CHECK(j["total"].get<long>() - j["from"].get<long>() == 1123);
    for (const auto& [sum, all] : {std::pair{"shares", "amount"}, {"shares_from", "from"}, {"shares_to", "to"}})
        for (const json& line : j["lines"]) {
            long shares = 0;
            for (const json& s : line[sum]) shares += s.get<long>();
            CHECK(shares == line[all].get<long>());
        }
    const std::string csv = b.run({"price", "work.spanjob", "--csv"}).out;
    CHECK(has(csv, "sort,item,what,amount,from,to,currency,share of B1"));
    CHECK(has(csv, "112.32,101.09,123.55,EUR"));
    CHECK(has(csv, "total,all prices at their lowest,"));
    const Ran compared = b.run({"compare", "work.spanjob", "B1", "B2"});
    CHECK(has(compared.out, "at the lowest prices"));
    CHECK(has(compared.out, "at the highest prices"));
    const json c = json::parse(b.run({"compare", "work.spanjob", "B1", "B2", "--json"}).out);
    for (const json& m : c["members"]) {
        CHECK(m["cost_from"].get<long>() < m["cost"].get<long>());
        CHECK(m["cost"].get<long>() < m["cost_to"].get<long>());
    }
    // A comparison's own prices may have none.
    b.files.files["flat.csv"] = "item [text], price [text], on [text]\ns195, 4 EUR/m, 2026-05-01\n";
    CHECK_FALSE(has(b.run({"compare", "work.spanjob", "B1", "B2", "--prices", "flat.csv"}).out, "at the lowest prices"));
}

TEST_CASE("a job without a workshop has nothing to cut, and says so") {
    Shop b;
    const Ran r = b.run({"cut", "shed.spanjob"});
    CHECK(r.status == 0);
    CHECK(has(r.out, "Nothing is planned"));
    const Ran p = b.run({"price", "shed.spanjob"});
    CHECK(p.status == 3);
    CHECK(has(p.out, "states no prices"));
}

TEST_CASE("compare puts members side by side with the differences") {
    Shop b;
    const Ran r = b.run({"compare", "work.spanjob", "B1", "B2", "--set", "B2.b=60 mm"});
    CHECK(has(r.out, "governing check"));
    CHECK(r.status == 1); // no stock is 60 mm thick
    const Ran same = b.run({"compare", "work.spanjob", "B1", "B2"});
    CHECK_MESSAGE(same.status == 0, same.err);
    CHECK(has(same.out, "cost of all"));
    const json j = json::parse(b.run({"compare", "work.spanjob", "B1", "B2", "--json"}).out);
    REQUIRE(j["members"].size() == 2);
    CHECK(j["members"][0]["deflection_m"].get<double>() == doctest::Approx(0.008));
    CHECK(j["members"][0]["depth_m"].get<double>() == doctest::Approx(0.195));
    CHECK(j["members"][0]["pieces"] == 4);
    CHECK(j["members"][1]["pieces"] == 2);
    CHECK(j["members"][0]["cost"].get<long>() > j["members"][1]["cost"].get<long>());
    CHECK(b.run({"compare", "work.spanjob", "B1", "B9"}).status == 1);
}

TEST_CASE("bench pages: tape readings, grooves by passes, jig, bond log and lifting") {
    Shop b;
    const Ran r = b.run({"bench", "work.spanjob", "-o", "-"});
    CHECK_MESSAGE(r.status == 0, r.err);
    CHECK(has(r.out, "6.7, 13.3, 20")); // 20 mm at 8 mm a pass
    CHECK(has(r.out, "bit: 15 m so far"));
    CHECK(has(r.out, "Change"));
    CHECK(has(r.out, "Jig table for B1"));
    CHECK(has(r.out, "            3000           297.5    3014.7         10\n")); // half of 195 and 400; hypotenuse; all of the camber
    CHECK(has(r.out, "Bond log of B1"));
    CHECK(has(r.out, "B1/2"));
    CHECK(has(r.out, "Lifting and setting B1"));
    CHECK(has(r.out, "brace it before"));
    CHECK(has(b.run({"bench", "work.spanjob", "-o", "-", "--inches"}).out, "13'-1 1/2\"")); // 4 m
    CHECK(b.run({"bench", "work.spanjob"}).status == 0);
    CHECK(b.files.files.count("work-bench.html") == 1);
}

TEST_CASE("joints are proposed from the stock, keep the sheet's rules, and are written when asked") {
    Shop b;
    const std::string before = b.files.files["work.spanjob"];
    const Ran r = b.run({"joints", "work.spanjob", "B1"});
    CHECK_MESSAGE(r.status == 0, r.err);
    CHECK(has(r.out, "joints of the top flange: "));
    CHECK(b.files.files["work.spanjob"] == before);
    CHECK(b.run({"joints", "work.spanjob", "B1", "--write"}).status == 0);
    const std::string after = b.files.files["work.spanjob"];
    CHECK(after != before);
    CHECK(has(after, "        list  flange_joints\n        joint, flange [text], at [m], R [kN]\n        1, top, "));
    CHECK(b.run({"cut", "work.spanjob"}).status == 0);
    CHECK(b.run({"check", "work.spanjob", "--member", "B1"}).status == 0);
    // Strengths that no place satisfies: nothing is proposed and nothing is written.
    std::string weak = before;
    for (std::size_t at = weak.find(", 100\n"); at != std::string::npos; at = weak.find(", 100\n")) weak.replace(at, 6, ", 1\n");
    b.files.files["work.spanjob"] = weak;
    const Ran none = b.run({"joints", "work.spanjob", "B1", "--write"});
    CHECK(none.status == 1);
    CHECK(has(none.err, "W820"));
    CHECK(b.files.files["work.spanjob"] == weak);
    CHECK(b.run({"joints", "work.spanjob", "B2"}).status == 0); // no joint needed
    CHECK(b.run({"joints", "shed.spanjob", "J1"}).status == 1);
}

TEST_CASE("the report has the workshop's pages and the schedule its masses and costs") {
    Shop b;
    const Ran r = b.run({"report", "work.spanjob", "-o", "-", "--as", "text"});
    CHECK(r.status == 0);
    for (const char* part : {"What to buy", "Cutting plan", "Cut list", "Labels for parts", "Mass and lifting", "Cost", "one weighs", "instead"})
        CHECK_MESSAGE(has(r.out, part), std::string(part));
    CHECK(b.run({"report", "work.spanjob"}).status == 0);
    const std::string csv = b.run({"report", "work.spanjob", "-o", "-", "--as", "csv"}).out;
    CHECK(has(csv, "cost,currency,cost from,cost to\n"));
    CHECK(has(csv, ",EUR,"));
}
