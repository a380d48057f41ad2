// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "engine/base/span.h"
#include "engine/meaning/table.h"
#include "engine/syntax/document.h"

namespace spanwright::job {

/// SHA-1 (FIPS 180-4) as Boost.UUID carries it. It guards against oversight, not against an attacker.
using Digest = std::array<std::uint32_t, 5>;

/// Gathers bytes; every piece is closed off, so that "ab" + "c" differs from "a" + "bc".
class Digester {
public:
    Digester& text(std::string_view t);
    Digester& number(double v); ///< its bits; -0 counts as 0
    Digester& digest(const Digest& d);
    [[nodiscard]] Digest done() const;

private:
    std::string m_bytes;
};

/// The three groups that a tick's letters stand for, over a whole upstream.
struct Groups {
    Digest formulas{}, values{}, tables{};
};

/// What a sheet's row itself brings into the groups.
struct RowDigest {
    std::string formula; ///< canonical text
    std::string tables;  ///< digests of the tables that it looks into, and its source, as bytes
};

/// Three letters of an alphabet without look-alikes (no 0 O 1 I L).
[[nodiscard]] std::string threeLetters(const Digest& d);
/// "KQ7-MFD-2XH"
[[nodiscard]] std::string nineLetters(const Groups& g);

/// Content of a table and its source: names, units, keys, cells.
[[nodiscard]] Digest tableDigest(const meaning::Table& t);

/// The words and signs of a stretch of a row, without blanks and comments, Greek letters spelled out.
[[nodiscard]] std::string canonicalText(const syntax::Row& row, base::ByteSpan within);
/// The same up to the dashes that begin what the row is.
[[nodiscard]] std::string canonicalRow(const syntax::Row& row);

} // namespace spanwright::job
