// SPDX-License-Identifier: MIT
// What the ready sheets are cut from: lengths that add up to the member, masses against the sheets' own and by hand.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "engine/job/job.h"
#include "engine/shop/workshop.h"

using namespace spanwright;

namespace {

/// Pieces and masses of the example job, without planning; members as `only` says, alternatives too.
struct Shed {
    io::Disk disk;
    std::unique_ptr<job::Job> job;
    shop::ShopRows rows;
    shop::Parts parts;
    shop::Weights weights;
    Shed() {
        job = job::Job::open(disk, std::string(SPANWRIGHT_SOURCE_DIR) + "/examples/packing-shed/packing-shed.spanjob",
                             {.library = std::string(SPANWRIGHT_SOURCE_DIR) + "/sheets", .cancelled = {}});
        rows = shop::readShopRows(*job);
        rows.moisture = 0.12;
        std::vector<std::size_t> all(job->memberCount());
        std::iota(all.begin(), all.end(), std::size_t{0});
        parts = shop::gatherParts(*job, rows, all);
        weights = shop::weigh(parts, rows);
    }
    std::vector<job::PieceView> of(const std::string& mark, const std::string& name) {
        std::vector<job::PieceView> out;
        for (const shop::Part& p : parts.parts)
            if (p.mark == mark && p.view.name == name) out.push_back(p.view);
        return out;
    }
    double value(const std::string& mark, const char* name) {
        const std::size_t m = *job->memberByMark(mark);
        const auto* q = job->sheet(m).find(name);
        REQUIRE_MESSAGE(q != nullptr, name);
        return job->value(m, q->id).one;
    }
    const shop::MemberWeight& weight(const std::string& mark) {
        const auto found = std::find_if(weights.members.begin(), weights.members.end(), [&](const auto& w) { return w.mark == mark; });
        REQUIRE(found != weights.members.end());
        return *found;
    }
};

double lengths(const std::vector<job::PieceView>& pieces) {
    double sum = 0.0;
    for (const job::PieceView& p : pieces) sum += p.length;
    return sum;
}

} // namespace

TEST_CASE("every piece of the example is worked out") {
    Shed shed;
    for (const auto& d : shed.parts.problems) FAIL_CHECK(d.message);
    for (const auto& d : shed.rows.problems) FAIL_CHECK(d.message);
    for (const char* mark : {"R2", "H1", "S1", "J1", "J2", "T1", "B1", "B1N", "J3", "B2", "R1", "R1G", "R1C", "J1U", "H1U"}) {
        CAPTURE(mark);
        CHECK(shed.weight(mark).known);
        CHECK(shed.weight(mark).centre.has_value());
    }
}

TEST_CASE("sawn members by hand: length over the bearings, mean density of EN 338") {
    Shed shed;
    // J1: 3.6 m and half a bearing of 50 mm at each end; 0.047 x 0.22 x 3.65 x 420.
    REQUIRE(shed.of("J1", "joist").size() == 1);
    CHECK(shed.of("J1", "joist")[0].length == doctest::Approx(3.65));
    CHECK(shed.weight("J1").mass == doctest::Approx(0.047 * 0.22 * 3.65 * 420));
    // R2: from half a bearing behind the wall to the end of the overhang, up 3 degrees, its ends plumb.
    const double slope = 3.0 * std::acos(-1.0) / 180.0;
    CHECK(shed.of("R2", "joist")[0].length == doctest::Approx((3.1 + 0.5 + 0.025) / std::cos(slope) + 0.195 * std::tan(slope)));
    // H1: three plies over 2.4 m and two studs of 45 mm at each end.
    CHECK(shed.of("H1", "ply")[0].count == 3.0);
    CHECK(shed.of("H1", "ply")[0].length == doctest::Approx(2.4 + 4 * 0.045));
    // Douglas fir-larch, SG 0.5: NDS 62.4 x 0.5/(1 + 0.009 x 0.5 x 12) x 1.12 pcf, here with water of 1000 kg/m3.
    CHECK(*shed.of("J1U", "joist")[0].density == doctest::Approx(1000 * 0.5 / (1 + 0.009 * 0.5 * 12) * 1.12));
}

TEST_CASE("flanges and webs of glued beams reach from end to end, scarfs besides") {
    Shed shed;
    // B1: 3.6 m, half a bearing of 150 mm at each end, no joint of a flange, one of the web.
    CHECK(shed.of("B1", "flange").empty());
    CHECK(shed.of("B1", "top_flange")[0].length == doctest::Approx(3.75));
    CHECK(lengths(shed.of("B1", "web")) + lengths(shed.of("B1", "last_web")) == doctest::Approx(3.75));
    // R1: 0.6 + 3.2 + 4.2 + 3.2 + 0.6 m; one scarf 1:10 of 47 mm in each flange makes both its pieces longer by half of 470 mm.
    CHECK(lengths(shed.of("R1", "web")) + lengths(shed.of("R1", "last_web")) == doctest::Approx(11.8));
    const auto joints = shed.of("R1", "flange");
    REQUIRE(joints.size() == 2);
    const double rise = std::hypot(5.9, 0.2) / 5.9;
    CHECK(joints[0].length + shed.of("R1", "top_flange")[0].length == doctest::Approx(11.8 * rise + 0.47));
    CHECK(joints[1].length + shed.of("R1", "bottom_flange")[0].length == doctest::Approx(11.8 + 0.47));
    // Panels from joint to joint are as deep there as one another: the depth has no step but at the ridge's own panel.
    const auto webs = shed.of("R1", "web");
    REQUIRE(webs.size() == 4);
    CHECK(webs[0].breadthEnd == doctest::Approx(webs[1].breadth));
    CHECK(webs[0].breadth == doctest::Approx(0.3 - 2 * (0.047 - 0.047)));
    CHECK(webs[2].breadth == doctest::Approx(shed.value("R1", "h_r"))); // 4.8 to 7.2 m holds the ridge at 5.9 m
    CHECK(webs[2].breadthEnd == doctest::Approx(webs[2].breadth));
    // Four supports, the ridge: two stiffeners each.
    double stiffeners = 0.0;
    for (const auto& p : shed.of("R1", "stiffener")) stiffeners += p.count;
    for (const auto& p : shed.of("R1", "ridge_stiffener")) stiffeners += p.count;
    CHECK(stiffeners == 10.0);
}

TEST_CASE("flanges and web weigh what the sheets themselves say of a metre") {
    Shed shed;
    const auto plain = [&](const std::string& mark, std::initializer_list<const char*> names) {
        double mass = 0.0;
        for (std::size_t i = 0; i < shed.parts.parts.size(); ++i) {
            const shop::Part& p = shed.parts.parts[i];
            if (p.mark != mark || std::none_of(names.begin(), names.end(), [&](const char* n) { return p.view.name == n; })) continue;
            mass += static_cast<double>(p.each) * *shed.weights.parts[i].mass;
        }
        return mass;
    };
    // m_0 takes the groove off the flanges; a groove of 45 x 18.2 mm a flange is cut out of what is bought whole.
    const double grooves = 2 * 0.045 * 0.0182 * 460;
    CHECK(plain("B1", {"top_flange", "bottom_flange", "web", "last_web"}) / 3.75 == doctest::Approx(shed.value("B1", "m_0") + grooves));
    // Halves lose nothing.
    CHECK(plain("R1C", {"flange", "top_flange", "bottom_flange", "web", "last_web"}) ==
          doctest::Approx(shed.value("R1C", "m_0") * 11.8 + 2 * 2 * 0.47 * 0.047 * 0.048 * 420));
    CHECK(plain("B1N", {"flange", "top_flange", "bottom_flange", "web", "last_web"}) / 3.75 == doctest::Approx(shed.value("B1N", "m_0")));
    // Symmetrical beams balance in their middle.
    CHECK(*shed.weight("R1C").centre == doctest::Approx(5.9).epsilon(0.01));
    CHECK(*shed.weight("J2").centre == doctest::Approx((2.4 + 2.1 + 2 * 0.025) / 2)); // from end A, half a bearing before the first support
}

TEST_CASE("the example is planned whole, priced and proven, and its alternatives too") {
    Shed shed;
    const shop::Workshop w = shop::work(*shed.job);
    for (const auto& d : w.problems) FAIL_CHECK(d.message);
    CHECK(w.plan.whole);
    CHECK(w.bill.proven);
    shop::Cents members = 0;
    for (const auto& m : w.bill.members) members += m.cents;
    CHECK(members == w.bill.total);
    for (const auto& l : w.bill.lines) CHECK(std::accumulate(l.shares.begin(), l.shares.end(), shop::Cents{0}) == l.cents);
    for (const char* mark : {"R1", "R1C", "R1G", "B1N", "B1G", "J1U", "J1I", "H1U", "S1U"}) {
        CAPTURE(mark);
        shop::WorkshopOptions o;
        o.only = {*shed.job->memberByMark(mark)};
        o.plan.effort = shop::effortOfSeconds(0.2);
        const shop::Workshop one = shop::work(*shed.job, o);
        CHECK(one.plan.whole);
        CHECK(one.bill.total > 0);
    }
}

TEST_CASE("a splice brings its plates with their nails or glue; a scarf brings none") {
    Shed shed;
    const std::size_t k = *shed.job->memberByMark("K1");
    CHECK(shed.job->pieces(k).pieces.empty());
    const auto only = [&](const std::vector<std::pair<const char*, const char*>>& values) {
        for (const auto& [name, value] : values) {
            const auto done = shed.job->setValue("K1", name, value);
            REQUIRE_MESSAGE(done.ok(), name, ": ", (done.ok() ? std::string() : done.error().message));
        }
        const job::PieceList list = shed.job->pieces(k);
        for (const auto& d : list.problems) FAIL_CHECK(d.message);
        REQUIRE(list.pieces.size() == 1);
        CHECK(list.pieces.front().count == 2);
        CHECK(list.pieces.front().length == doctest::Approx(0.72));
        return list.pieces.front();
    };
    const auto amount = [](const job::PieceView& p, const std::string& what) {
        for (const auto& o : p.operations)
            if (o.name == what) return o.amount;
        return -1.0;
    };
    // Seven in a row, two rows, both sides of the joint: 28 in each plate.
    const job::PieceView nailed = only({{"how", "nails"}, {"fastener", "ring nail"}, {"d", "3.1 mm"}, {"l", "60 mm"}, {"n_r", "7"}, {"l_p", "720 mm"}});
    CHECK(nailed.name == "nailed_plate");
    CHECK(amount(nailed, "nails") == doctest::Approx(28));
    const job::PieceView glued = only({{"how", "glued plates"}});
    CHECK(glued.name == "plate");
    CHECK(amount(glued, "glue") == doctest::Approx(0.72 * shed.value("K1", "h_p")));
    CHECK(only({{"plate", "timber"}}).name == "timber_plate");
    CHECK(only({{"how", "nails"}}).name == "nailed_timber_plate");
}
