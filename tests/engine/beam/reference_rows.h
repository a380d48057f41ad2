// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>
#include <fstream>
#include <functional>
#include <iterator>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "tests/engine/beam/lines.h"

namespace spanwright::beam::lines {

/// The rows of a table of reference values (RFC 4180, without its head).
inline std::vector<std::vector<std::string>> referenceRows(const std::string& name) {
    std::ifstream in(std::string(SPANWRIGHT_SOURCE_DIR) + "/tests/reference/" + name, std::ios::binary);
    REQUIRE(in.good());
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    std::vector<std::vector<std::string>> rows{{""}};
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (c == '"') {
            if (quoted && i + 1 < text.size() && text[i + 1] == '"') {
                rows.back().back() += '"';
                ++i;
            } else {
                quoted = !quoted;
            }
        } else if (c == ',' && !quoted) {
            rows.back().emplace_back();
        } else if (c == '\n' && !quoted) {
            rows.push_back({""});
        } else if (c != '\r') {
            rows.back().back() += c;
        }
    }
    if (rows.back().size() == 1 && rows.back()[0].empty()) rows.pop_back();
    rows.erase(rows.begin());
    return rows;
}

/// What the engine finds for a row, and the closed form written out by hand (NaN: the row has none).
struct Found {
    double value = 0.0;
    double closedForm = NAN;
    /// How well the table's own formula is known: its constants may be printed to four digits.
    double printed = 2e-7;
};

using Finders = std::map<std::pair<std::string, std::string>, std::function<Found()>>;

/// True if |f| is nowhere larger than at `x` on a grid over [a, b].
inline bool peaks(const std::function<double(double)>& f, double x, double a, double b) {
    const double top = std::abs(f(x));
    for (int i = 0; i <= 400; ++i) {
        if (std::abs(f(a + (b - a) * i / 400.0)) > top * (1.0 + 1e-12)) return false;
    }
    return true;
}

} // namespace spanwright::beam::lines
