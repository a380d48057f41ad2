// SPDX-License-Identifier: MIT
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/units/exact.h"
#include "engine/units/unit.h"

namespace spanwright::units {

/// A unit with a name of its own, prefix included: what unit expressions are made of.
struct Atom {
    Dimension dimension;
    Exact factor = 1;
    std::string shown; ///< "µm"
    std::string ascii; ///< "um"
};

/// A unit of the catalogue before prefixes.
struct AtomRow {
    Atom atom;
    std::vector<std::string> prefixes; ///< as typed in ASCII
    std::string source;
};

/// A word that has more than one meaning, or a meaning that formulas cannot use.
struct RefusedWord {
    std::string_view word;
    diag::Code code;
    std::string_view message;
    std::string_view mend;
};

/// All units, made once from the table in catalogue.cpp, where each unit is defined by those above it.
class Catalogue {
public:
    [[nodiscard]] static const Catalogue& get();
    [[nodiscard]] std::optional<Atom> find(std::string_view name) const;
    [[nodiscard]] static const RefusedWord* refused(std::string_view name);
    /// In the order of the table.
    [[nodiscard]] const std::vector<std::pair<std::string, AtomRow>>& rows() const { return m_rows; }

private:
    Catalogue();
    void add(std::string name, AtomRow row);

    std::vector<std::pair<std::string, AtomRow>> m_rows;
    std::map<std::string, std::size_t, std::less<>> m_index;
};

/// An SI prefix: as typed, as shown, its power of ten (SI Brochure 9th edition, table 7, with the
/// four of 2022).
struct Prefix {
    std::string_view ascii;
    std::string_view shown;
    int tens;
};
[[nodiscard]] const std::vector<Prefix>& siPrefixes();

/// Currency codes of ISO 4217, in order.
[[nodiscard]] const std::vector<std::string_view>& currencyCodes();

/// Reads a unit expression with the units of `catalogue`; readUnit() with the whole catalogue.
[[nodiscard]] base::Result<Unit, ReadError> readUnitFrom(std::string_view text, const Catalogue& catalogue);

} // namespace spanwright::units
