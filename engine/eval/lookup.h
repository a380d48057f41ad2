// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <memory>
#include <unordered_map>
#include <vector>

#include "engine/meaning/table.h"

namespace spanwright::eval {

/// A key to look up: a text by its id, or a number.
struct Key {
    double value = 0.0;
    bool text = false;
};

/// What a look-up found.
struct Found {
    enum class State : std::uint8_t { Ok, NoRow, Below, Above };
    State state = State::NoRow;
    std::uint32_t row = 0; ///< Ok: the row, or the lower of two; Below, Above: the nearest row
    double value = 0.0;
};

/// Row look-ups in tables, with an index per table so that a million rows cost no more than a few.
/// A text key is compared with what is written, a number to 1e-9 of itself. The first of equal rows wins.
class LookupCache {
public:
    [[nodiscard]] Found exact(const std::shared_ptr<const meaning::Table>& table, const std::vector<Key>& keys);
    /// Between rows of the (first) key column, which rises; at a row its own value.
    [[nodiscard]] Found interpolate(const meaning::Table& table, std::uint32_t column, double key) const;
    /// The last row whose key is not above.
    [[nodiscard]] Found atOrBelow(const meaning::Table& table, std::uint32_t column, double key) const;
    [[nodiscard]] Found matrix(const std::shared_ptr<const meaning::Table>& table, Key rowKey, Key columnKey);

private:
    struct Index {
        std::shared_ptr<const meaning::Table> table;                    ///< kept, so that its address stays its own
        std::vector<std::pair<double, std::uint32_t>> byText, byNumber; ///< first key column, sorted
    };
    [[nodiscard]] const Index& indexOf(const std::shared_ptr<const meaning::Table>& table);
    std::unordered_map<const meaning::Table*, std::unique_ptr<Index>> m_indexes;
};

} // namespace spanwright::eval
