// SPDX-License-Identifier: MIT
// A row of the workshop that cannot be read has one problem, its own, and nothing that needs it is called proven.
#include "tests/engine/shop/support.h"

#include <algorithm>

using namespace spanwright;
using namespace spanwright::shop;
using namespace spanwright::shop::tests;

namespace {

std::size_t count(const Workshop& w, diag::Code code) {
    return static_cast<std::size_t>(std::count_if(w.problems.begin(), w.problems.end(), [&](const diag::Diagnostic& d) { return d.code == code; }));
}

std::size_t problems(const Bench& b) { return b.job->diagnostics().size() + b.shop.problems.size(); }

void unproven(const Workshop& w) {
    CHECK_FALSE(w.bill.proven);
    CHECK_FALSE(w.bill.reasons.empty());
    CHECK(w.cutStatus() == 1);
    CHECK(w.priceStatus() == 1);
    for (const GroupPlan& g : w.plan.groups) {
        CHECK_FALSE(g.proven);
        CHECK(g.words.find("at least") == std::string::npos);
    }
}

const std::string kBare = "job T\ndate 2026-05-04\nsaw kerf 3 mm\n";
const std::string kHead = kBare + "consumable nail = nails, 1, 0.05 EUR on 2026-05-01\n";
const std::string kGood = "stock s195 = C24, 47 mm by 195 mm by 4.8 m, 3.90 EUR/m on 2026-05-01\n";
const std::string kMember = "member J1 = trial\n";

} // namespace

TEST_CASE("a row of stock that cannot be read is told once, and not again by the pieces that would be cut from it") {
    for (const char* row : {"stock s = C24, 47 mm by 195 mm by 4.8 kg\n", "stock s = C24, 47 mm by 195 mm\n", "stock s = C24\n",
                            "stock s = C24, 47 mm by 195 mm by 4.8 m, cheap\n", "stock s = C24, 47 mm by 195 mm by 4.8 m, have 1.5\n",
                            "stock s = C24, 47 mm by 195 mm by 4.8 m, 4 EUR/kg\n", "stock s C24\n", "stock = C24, 47 mm by 195 mm by 4.8 m\n",
                            "stock s = C24, , 47 mm by 195 mm by 4.8 m\n"}) {
        CAPTURE(row);
        Bench b(kHead + row + kMember);
        const Workshop& w = b.work();
        CHECK_MESSAGE(problems(b) == 1, b.told());
        CHECK_FALSE(w.plan.whole);
        unproven(w);
    }
}

TEST_CASE("what the row cannot be about is told all the same") {
    // Another material, and another thickness where the row's sizes could be read.
    Bench other(kHead + "stock s = C30, 47 mm by 195 mm\n" + kMember);
    CHECK(count(other.work(), diag::Code::NoStock) == 1);
    Bench thick(kHead + "stock s = C24, 60 mm by 195 mm by 4.8 m, cheap\n" + kMember);
    CHECK(count(thick.work(), diag::Code::NoStock) == 1);
    Bench breadth(kHead + kGood + "stock s = C24, 47 mm by 245 mm by 4.8 m, cheap\n" + kMember + "with h = 245 mm\n");
    CHECK_MESSAGE((count(breadth.work(), diag::Code::NoStock) == 0 && problems(breadth) == 1), breadth.told());
    Bench large(kHead + kGood + "stock s = C24, 47 mm by 195 mm by 6 m, cheap\n" + kMember + "with L = 5.4 m\n");
    CHECK_MESSAGE((count(large.work(), diag::Code::PieceTooLarge) == 0 && problems(large) == 1), large.told());
    CHECK_FALSE(large.shop.plan.whole);
}

TEST_CASE("a plan from the stock that could be read is not called the least") {
    Bench good(kHead + kGood + kMember);
    REQUIRE(good.work().plan.groups.size() == 1);
    CHECK(good.shop.plan.groups[0].proven);
    Bench b(kHead + kGood + "stock s = C24, 47 mm by 195 mm by 9.6 m, cheap\n" + kMember);
    const Workshop& w = b.work();
    REQUIRE(w.plan.groups.size() == 1);
    CHECK(w.plan.whole);
    CHECK(w.plan.groups[0].cut == 1);
    CHECK(problems(b) == 1);
    unproven(w);
    // Stock of another material has nothing to do with it.
    Bench apart(kHead + kGood + "stock s = C30, 47 mm by 195 mm by 9.6 m, cheap\n" + kMember);
    CHECK(apart.work().plan.groups.at(0).proven);
    CHECK_FALSE(apart.shop.bill.proven);
}

TEST_CASE("what is short because the other stock could not be read is not told again") {
    const std::string hand = "stock h = C24, 47 mm by 195 mm by 4.8 m, have 1\nstock o = C24, 47 mm by 195 mm by 2 m, 4 EUR/m on 2026-05-01\n";
    Bench b(kHead + hand + "member J1 = trial\noff 3\n");
    CHECK(count(b.work(), diag::Code::StockShort) == 1);
    Bench unread(kHead + hand + "stock s = C24, 47 mm by 195 mm by 4.8 m, cheap\nmember J1 = trial\noff 3\n");
    CHECK_MESSAGE((count(unread.work(), diag::Code::StockShort) == 0 && problems(unread) == 1), unread.told());
    CHECK_FALSE(unread.shop.plan.whole);
    unproven(unread.shop);
}

TEST_CASE("a price that cannot be read is told once, and the total is not proven") {
    const auto with = [](const std::string& prices, const std::string& rows) {
        Bench b(kHead + "prices p.csv\n" + rows + kMember);
        b.files.files["work/p.csv"] = "item [text], price [text], on [text], until [text]\n" + prices;
        b.work();
        return b;
    };
    const std::string unpriced = "stock s195 = C24, 47 mm by 195 mm by 4.8 m\n";
    const Bench bad = with("s195, cheap, 2026-05-01,\n", unpriced);
    CHECK_MESSAGE(problems(bad) == 1, bad.told());
    CHECK_FALSE(bad.shop.bill.proven);
    const Bench per = with("s195, 4 EUR/kg, 2026-05-01,\n", unpriced);
    CHECK_MESSAGE(problems(per) == 1, per.told());
    CHECK_FALSE(per.shop.bill.proven);
    // A line for a row that could not be read: the row has been told.
    const Bench row = with("s195, 4 EUR/m, 2026-05-01,\n", "stock s195 = C24, 47 mm by 195 mm\n");
    CHECK_MESSAGE(problems(row) == 1, row.told());
    // No rate: told of the price, not of the pieces.
    Bench rate(kHead +
               "currency EUR\nstock h = C24, 47 mm by 195 mm by 2 m, 4 EUR/m on 2026-05-01\nstock s = C24, 47 mm by 195 mm by 4.8 m, 4 USD/m on 2026-05-01\n" +
               kMember);
    CHECK_MESSAGE(count(rate.work(), diag::Code::StockShort) == 0, rate.told());
    CHECK(count(rate.shop, diag::Code::CurrencyMix) == 1);
    CHECK_FALSE(rate.shop.plan.whole);
    CHECK_FALSE(rate.shop.bill.proven);
    const auto& reasons = rate.shop.bill.reasons; // the row was read; its price has no rate
    CHECK(std::count(reasons.begin(), reasons.end(), "something is wrong in the rows of the workshop") == 1);
    CHECK(std::count(reasons.begin(), reasons.end(), "not every row of the workshop could be read") == 0);
}

TEST_CASE("other rows that cannot be read bring no second complaint and no proven total") {
    for (const char* row : {"labour nails = 2 EUR, 30 EUR/h\n", "labour nails\n", "labour = 5 min, 30 EUR/h\n", "consumable n = nails, 0.05 EUR\n",
                            "consumable\n", "overhead\n", "overhead 8 EUR\n", "waste -3 %\n"}) {
        CAPTURE(row);
        Bench b(kHead + kGood + row + kMember);
        const Workshop& w = b.work();
        CHECK_MESSAGE(problems(b) == 1, b.told());
        CHECK_FALSE(w.bill.proven);
        CHECK(w.priceStatus() == 1);
    }
    for (const char* row : {"consumable n = nails, 0.05 EUR\n", "consumable n\n", "labour nails\n"}) {
        CAPTURE(row);
        Bench nails(kBare + kGood + row + kMember);
        nails.work();
        CHECK_MESSAGE(problems(nails) == 1, nails.told());
        CHECK_FALSE(nails.shop.bill.proven);
    }
    Bench saw("job T\ndate 2026-05-04\nsaw kerf 3 m\nconsumable nail = nails, 1, 0.05 EUR on 2026-05-01\n" + kGood + kMember);
    CHECK_MESSAGE((count(saw.work(), diag::Code::SawMissing) == 0 && problems(saw) == 1), saw.told());
    CHECK_FALSE(saw.shop.bill.proven);
    Bench moist(kHead + kGood + "moisture 90 %\n" + kMember);
    CHECK_FALSE(moist.work().rows.moistureStated);
}
