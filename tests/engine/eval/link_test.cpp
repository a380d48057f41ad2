// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "engine/eval/program.h"

using namespace spanwright;
using eval::LinkProgram;
using eval::State;
using eval::Value;

namespace {

/// J1.R/J1.s, typed by hand: two references and a quotient.
std::shared_ptr<const meaning::Link> quotient() {
    auto link = std::make_shared<meaning::Link>();
    for (std::uint32_t i = 0; i < 2; ++i) {
        meaning::Expr e;
        e.kind = meaning::ExprKind::External;
        e.index = i;
        e.row = 7;
        e.span = {i * 5, i * 5 + 4};
        e.writtenText = i == 0 ? "J1.R" : "J1.s";
        link->exprs.nodes.push_back(e);
        meaning::Reference r;
        r.member = "J1";
        r.path = e.writtenText;
        link->references.push_back(r);
    }
    meaning::Expr e;
    e.kind = meaning::ExprKind::Divide;
    e.children = {meaning::ExprId(0), meaning::ExprId(1)};
    e.row = 7;
    e.span = {0, 9};
    link->exprs.nodes.push_back(e);
    link->root = meaning::ExprId(2);
    return link;
}

Value known(double v) {
    Value value;
    value.state = State::Known;
    value.one = v;
    return value;
}

} // namespace

TEST_CASE("a link takes numbers") {
    LinkProgram link(quotient());
    const Value r = known(6e3), s = known(0.4);
    const Value v = link.evaluate({&r, &s});
    CHECK(v.state == State::Known);
    CHECK(v.one == 6e3 / 0.4);
}

TEST_CASE("a link to what has cases is refused") {
    LinkProgram link(quotient());
    Value r = known(0.0);
    r.many = {1, 2, 3, 4};
    const Value s = known(0.4);
    const Value v = link.evaluate({&r, &s});
    REQUIRE(v.state == State::Failed);
    REQUIRE(v.problem);
    CHECK(v.problem->code == diag::Code::LinkCases);
    CHECK(v.problem->message == "J1.R has 4 values, one for each case, and a link takes one number");
    CHECK(v.problem->mend == "reduce it to one in the other member's sheet, for instance by a row with largest(..., over ...)");
    CHECK(v.problem->place.row == 7);
    CHECK(v.problem->place.span == base::ByteSpan{0, 4});
}

TEST_CASE("a link to what is not known is blocked, one that has no value fails") {
    LinkProgram link(quotient());
    const Value r = known(6e3), zero = known(0.0);
    Value missing;
    missing.state = State::NotStated;
    const Value v = link.evaluate({&r, &missing});
    CHECK(v.state == State::Blocked);
    CHECK_FALSE(v.blockedBy.valid());
    const Value d = link.evaluate({&r, &zero});
    REQUIRE(d.state == State::Failed);
    CHECK(d.problem->code == diag::Code::DivisionByZero);
    CHECK(d.problem->message == "division by zero: J1.s is 0");
    // and it is as new after that
    const Value s = known(2.0);
    CHECK(link.evaluate({&r, &s}).one == 3e3);
}
