// SPDX-License-Identifier: MIT
#include "engine/eval/lookup.h"

#include <algorithm>
#include <cmath>

#include "engine/base/text.h"

namespace spanwright::eval {

namespace {

constexpr double kAlike = 1e-9;

bool alike(double a, double b) { return std::fabs(a - b) <= kAlike * std::max(std::fabs(a), std::fabs(b)); }

std::uint32_t keyColumn(const meaning::Table& t) { return t.keys.empty() ? 0U : t.keys.front(); }

/// Does the k-th key of a row read as wanted?
bool fits(const meaning::Table& t, std::size_t k, std::uint32_t row, Key key) {
    const std::uint32_t column = t.keys[k];
    if (key.text) {
        if (k < t.keyIds.size() && row < t.keyIds[k].size()) return t.keyIds[k][row] == key.value;
        return t.columns[column].text && t.cells[column][row] == key.value;
    }
    return !t.columns[column].text && alike(t.cells[column][row], key.value);
}

} // namespace

const LookupCache::Index& LookupCache::indexOf(const std::shared_ptr<const meaning::Table>& kept) {
    constexpr std::size_t kMostKept = 256;
    if (m_indexes.size() >= kMostKept && m_indexes.count(kept.get()) == 0) m_indexes.clear();
    std::unique_ptr<Index>& slot = m_indexes[kept.get()];
    if (slot) return *slot;
    slot = std::make_unique<Index>();
    slot->table = kept;
    const meaning::Table& table = *kept;
    if (table.cells.empty() || table.keys.empty()) return *slot;
    const std::uint32_t column = keyColumn(table);
    const bool ids = !table.keyIds.empty() && table.keyIds[0].size() == table.rowCount();
    for (std::uint32_t r = 0; r < table.rowCount(); ++r) {
        if (ids)
            slot->byText.emplace_back(table.keyIds[0][r], r);
        else if (table.columns[column].text)
            slot->byText.emplace_back(table.cells[column][r], r);
        if (!table.columns[column].text) slot->byNumber.emplace_back(table.cells[column][r], r);
    }
    std::sort(slot->byText.begin(), slot->byText.end());
    std::sort(slot->byNumber.begin(), slot->byNumber.end());
    return *slot;
}

Found LookupCache::exact(const std::shared_ptr<const meaning::Table>& kept, const std::vector<Key>& keys) {
    Found found;
    const meaning::Table& table = *kept;
    if (keys.empty() || table.keys.size() < keys.size()) return found;
    const Index& index = indexOf(kept);
    const auto& list = keys[0].text ? index.byText : index.byNumber;
    const double slack = keys[0].text ? 0.0 : 2.0 * kAlike * std::fabs(keys[0].value);
    auto at = std::lower_bound(list.begin(), list.end(), std::pair<double, std::uint32_t>{keys[0].value - slack, 0U});
    for (; at != list.end() && at->first <= keys[0].value + slack; ++at) {
        const std::uint32_t row = at->second;
        if (found.state == Found::State::Ok && row >= found.row) continue;
        bool all = true;
        for (std::size_t k = 0; k < keys.size() && all; ++k) all = fits(table, k, row, keys[k]);
        if (!all) continue;
        found.state = Found::State::Ok;
        found.row = row;
    }
    return found;
}

Found LookupCache::interpolate(const meaning::Table& table, std::uint32_t column, double key) const {
    Found found = atOrBelow(table, column, key);
    if (found.state != Found::State::Ok) return found;
    const std::vector<double>& keys = table.cells[keyColumn(table)];
    const std::vector<double>& values = table.cells[column];
    const std::uint32_t low = found.row;
    if (alike(keys[low], key) || key == keys[low]) return found;
    if (low + 1 >= keys.size()) {
        found.state = Found::State::Above;
        return found;
    }
    if (alike(keys[low + 1], key)) {
        found.row = low + 1;
        found.value = values[low + 1];
        return found;
    }
    const double part = (key - keys[low]) / (keys[low + 1] - keys[low]);
    found.value = values[low] + part * (values[low + 1] - values[low]);
    return found;
}

Found LookupCache::atOrBelow(const meaning::Table& table, std::uint32_t column, double key) const {
    Found found;
    const std::vector<double>& keys = table.cells[keyColumn(table)];
    if (keys.empty()) return found;
    // A key that equals a row's to 1e-9 counts as that row.
    const auto above = std::upper_bound(keys.begin(), keys.end(), key, [](double k, double row) { return k < row && !alike(k, row); });
    if (above == keys.begin()) {
        found.state = Found::State::Below;
        return found;
    }
    found.state = Found::State::Ok;
    found.row = static_cast<std::uint32_t>(above - keys.begin() - 1);
    found.value = table.cells[column][found.row];
    return found;
}

Found LookupCache::matrix(const std::shared_ptr<const meaning::Table>& kept, Key rowKey, Key columnKey) {
    const meaning::Table& table = *kept;
    Found found = exact(kept, {rowKey});
    if (found.state != Found::State::Ok) return found;
    std::size_t wanted = table.columnKeys.size();
    for (std::size_t c = 0; c < table.columnKeys.size(); ++c) {
        bool hit = false;
        if (columnKey.text) {
            hit = c < table.columnIds.size() && table.columnIds[c] == columnKey.value;
        } else {
            const std::optional<double> head = base::readDouble(table.columnKeys[c]);
            hit = head && alike(*head, columnKey.value);
        }
        if (hit) {
            wanted = c;
            break;
        }
    }
    if (wanted == table.columnKeys.size()) {
        found.state = Found::State::Above;
        return found;
    }
    // Value columns are all but the key column, in order.
    const std::uint32_t key = keyColumn(table);
    found.value = table.cells[wanted < key ? wanted : wanted + 1][found.row];
    return found;
}

} // namespace spanwright::eval
