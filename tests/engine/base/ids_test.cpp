// SPDX-License-Identifier: MIT
#include "engine/base/ids.h"

#include <doctest/doctest.h>
#include <string>
#include <type_traits>

#include "engine/base/result.h"
#include "engine/base/span.h"

using namespace spanwright::base;

namespace {
struct RowTag {};
struct MemberTag {};
using RowId = Id<RowTag>;
using MemberId = Id<MemberTag>;
static_assert(!std::is_convertible_v<RowId, MemberId>);
static_assert(!std::is_convertible_v<std::size_t, RowId>);
} // namespace

TEST_CASE("an id is invalid until it is given a place") {
    CHECK_FALSE(RowId().valid());
    CHECK(RowId(std::size_t{0}).valid());
    CHECK(RowId(std::size_t{3}).index() == 3);
    CHECK(RowId(std::size_t{1}) < RowId(std::size_t{2}));
}

TEST_CASE("a span covers its half-open range and is clipped to the text") {
    const ByteSpan span{2, 5};
    CHECK(span.of("abcdefg") == "cde");
    CHECK(span.of("abc") == "c");
    CHECK(span.of("a") == "");
    CHECK(ByteSpan{3, 3}.empty());
    CHECK(span.contains(2));
    CHECK_FALSE(span.contains(5));
    CHECK(span.joined({7, 9}) == ByteSpan{2, 9});
}

TEST_CASE("a result tells its sides apart even when they are alike") {
    const Result<std::string, std::string> good(std::string("value"));
    const Result<std::string, std::string> bad = Failure{std::string("reason")};
    CHECK(good.ok());
    CHECK(good.value() == "value");
    CHECK_FALSE(bad.ok());
    CHECK(bad.error() == "reason");
}
