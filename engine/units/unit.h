// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/base/result.h"
#include "engine/base/span.h"
#include "engine/diag/codes.h"
#include "engine/units/dimension.h"

namespace spanwright::units {

/// A unit as somebody wrote it: its dimension, what one of it is in coherent SI, and the text to
/// show (typeset: "kN·m", "N/mm²"; ascii: "kN*m", "N/mm^2"). A pure number has factor 1 and no text.
struct Unit {
    Dimension dimension;
    double factor = 1.0;
    std::string shown;  ///< "N/mm²"
    std::string ascii;  ///< "N/mm^2", reads back as the same unit
    friend bool operator==(const Unit&, const Unit&) = default;
};

/// Why a text is not a unit or a value. `span` counts from the start of the text given.
struct ReadError {
    diag::Code code{};
    base::ByteSpan span;
    std::string message;
    std::string mend;
};

/// Reads a whole unit expression: names joined by `*`, `·`, `/`, with powers `^2`, `^-1`, `^(1/2)`,
/// `²`, `³`; brackets; "1/m". "%" is 0.01. Empty text or "1" is the pure number.
/// Errors: unknown name (nearest suggested), ambiguous ("lb": lbf or lbm?), malformed.
[[nodiscard]] base::Result<Unit, ReadError> readUnit(std::string_view text);

/// A single unit name ("kN", "mm", "°"), with prefix; nothing if it is none. Never an expression.
[[nodiscard]] std::optional<Unit> findUnit(std::string_view name);

/// A value and the unit it was written in.
struct Written {
    double si = 0.0;
    Unit unit;      ///< of "14 ft 6 in": ft
};

/// Reads where only a value can stand: `4.2 m`, `1.5 kN/m^2`, `14 ft 6 in`, `5 1/2 in`, `-3`, `1e3 N`,
/// `3,6 m` (decimal comma understood), `25 %`. `1,200` is refused with both readings shown.
/// A bare number takes `assumed` if given (a grid cell), otherwise it is a pure number.
[[nodiscard]] base::Result<Written, ReadError> readValue(std::string_view text, const Unit* assumed = nullptr);

/// Names of all units in the catalogue without prefixes, for completion; stable order.
[[nodiscard]] const std::vector<std::string>& unitNames();

/// A catalogue entry, for the language reference and the tests against outside lists.
struct CatalogueEntry {
    std::string name;
    double factor = 1.0;
    Dimension dimension;
    bool prefixes = false;      ///< SI prefixes allowed
    std::string source;         ///< "SI Brochure table 4", "NIST SP 811 appendix B.8"
};
[[nodiscard]] const std::vector<CatalogueEntry>& catalogue();

/// A unit of the trade's habit for a dimension that nobody named a unit for: N/mm² for stress,
/// kN·m for moment, mm^4 ...; falls back to coherent SI base units. Always exact in dimension.
[[nodiscard]] Unit habitualUnit(const Dimension& d);

/// True when unit is mass-like where `wanted` is force-like by one factor of acceleration (kg/m² for
/// N/m²): the caller then says to write kgf or multiply by g_n.
[[nodiscard]] bool isMassForForce(const Dimension& got, const Dimension& wanted);

} // namespace spanwright::units
