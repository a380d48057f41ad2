// SPDX-License-Identifier: MIT
#include "engine/eval/lookup.h"

#include <doctest/doctest.h>

#include <random>

using namespace spanwright;
using eval::Found;
using eval::LookupCache;

namespace {

std::shared_ptr<meaning::Table> tableOf(const std::vector<double>& keys, const std::vector<double>& values) {
    auto t = std::make_shared<meaning::Table>();
    t->columns.resize(2);
    t->keys = {0};
    t->cells = {keys, values};
    return t;
}

} // namespace

TEST_CASE("exact look-ups compare numbers to 1e-9 and take the first of equals") {
    LookupCache cache;
    const auto t = tableOf({5, 1, 3, 1, 0}, {50, 10, 30, 11, 0});
    CHECK(cache.exact(t, {{1.0, false}}).row == 1);
    CHECK(cache.exact(t, {{3.0 * (1 + 5e-10), false}}).row == 2);
    CHECK(cache.exact(t, {{3.0 * (1 + 3e-9), false}}).state == Found::State::NoRow);
    CHECK(cache.exact(t, {{0.0, false}}).row == 4);
    CHECK(cache.exact(t, {{5.0, true}}).state == Found::State::NoRow); // a text is no number
}

TEST_CASE("a million rows are looked up by an index") {
    std::vector<double> keys(1'000'000), values(1'000'000);
    for (std::size_t i = 0; i < keys.size(); ++i) {
        keys[i] = static_cast<double>((i * 7919) % 1'000'000);
        values[i] = static_cast<double>(i);
    }
    const auto t = tableOf(keys, values);
    LookupCache cache;
    std::mt19937 random(3);
    for (int i = 0; i < 20'000; ++i) {
        const std::size_t row = random() % keys.size();
        const Found f = cache.exact(t, {{keys[row], false}});
        REQUIRE(f.state == Found::State::Ok);
        REQUIRE(f.row == row);
    }
}

TEST_CASE("interpolation goes through the rows and stays inside") {
    LookupCache cache;
    const auto t = tableOf({1, 2, 4}, {10, 30, 20});
    CHECK(cache.interpolate(*t, 1, 1.0).value == 10.0);
    CHECK(cache.interpolate(*t, 1, 1.5).value == 20.0);
    CHECK(cache.interpolate(*t, 1, 2.0).value == 30.0);
    CHECK(cache.interpolate(*t, 1, 3.0).value == 25.0);
    CHECK(cache.interpolate(*t, 1, 4.0).value == 20.0);
    CHECK(cache.interpolate(*t, 1, 4.0 * (1 + 5e-10)).value == 20.0);
    CHECK(cache.interpolate(*t, 1, 1.0 * (1 - 5e-10)).value == 10.0);
    CHECK(cache.interpolate(*t, 1, 4.1).state == Found::State::Above);
    CHECK(cache.interpolate(*t, 1, 0.9).state == Found::State::Below);
    CHECK(cache.atOrBelow(*t, 1, 3.999).value == 30.0);
    CHECK(cache.atOrBelow(*t, 1, 4.0 * (1 - 5e-10)).value == 20.0);
    CHECK(cache.atOrBelow(*t, 1, 400.0).value == 20.0);
    CHECK(cache.atOrBelow(*t, 1, 0.5).state == Found::State::Below);
}

TEST_CASE("a matrix whose row key is not its first column") {
    auto t = std::make_shared<meaning::Table>();
    t->columns.resize(3);
    t->keys = {1};
    t->keyIds = {{7, 8}};
    t->rowIds = {7, 8};
    t->cells = {{1, 2}, {7, 8}, {3, 4}};
    t->columns[1].text = true;
    t->columnKeys = {"a", "b"};
    t->columnIds = {20, 21};
    LookupCache cache;
    CHECK(cache.matrix(t, {8, true}, {20, true}).value == 2.0);
    CHECK(cache.matrix(t, {7, true}, {21, true}).value == 3.0);
    CHECK(cache.matrix(t, {7, true}, {22, true}).state == Found::State::Above);
    CHECK(cache.matrix(t, {9, true}, {20, true}).state == Found::State::NoRow);
}
