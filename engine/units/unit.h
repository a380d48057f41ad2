// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
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
    /// The factor as an exact fraction num/den when it is no exact double (1 mm = 1/1000 m); 0/0 when
    /// `factor` itself is exact or no fraction of this size exists. toSi() and fromSi() use it.
    std::uint64_t num = 0;
    std::uint64_t den = 0;
    friend bool operator==(const Unit&, const Unit&) = default;
};

/// Why a text is not a unit or a value. `span` counts from the start of the text given.
struct ReadError {
    diag::Code code{};
    base::ByteSpan span;
    std::string message;
    std::string mend;
};

/// Reads a whole unit expression: names joined by `*`, `·`, `/` (from left to right, as in formulas),
/// with powers `^2`, `^-1`, `^(1/2)`, `²`, `³`; brackets; "1/m". "%" is 0.01. Empty text or "1" is the
/// pure number. Equal names are gathered and cancelled; the texts put what is multiplied first.
/// Errors: unknown name (nearest suggested), ambiguous ("lb": lbf or lbm?), shifted zero (degC),
/// malformed, too long (500 bytes), powers beyond 99, factors beyond a double.
[[nodiscard]] base::Result<Unit, ReadError> readUnit(std::string_view text);

/// A number in `unit` turned into coherent SI and back, each rounded once from the exact result, so
/// that 3600 mm, 3.6 m and 360 cm are the same double. `decimal` is a plain number ("3.6", "-1e3");
/// nothing if it is none or does not fit a double.
[[nodiscard]] double toSi(double value, const Unit& unit);
[[nodiscard]] std::optional<double> toSi(std::string_view decimal, const Unit& unit);
[[nodiscard]] double fromSi(double si, const Unit& unit);

/// A single unit name ("kN", "mm", "°"), with prefix; nothing if it is none. Never an expression.
[[nodiscard]] std::optional<Unit> findUnit(std::string_view name);

/// A value and the unit it was written in.
struct Written {
    double si = 0.0;
    Unit unit;      ///< of "14 ft 6 in": ft
};

/// Reads where only a value can stand: `4.2 m`, `1.5 kN/m^2`, `14 ft 6 in`, `5 1/2 in`, `-3`, `1e3 N`,
/// `3,6 m` (decimal comma understood), `25 %`, `14'-6 1/2"`, `5½ in`. `1,200` is refused with both
/// readings shown. The result is rounded once from the exact value of what is written.
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
    std::vector<std::string> prefixed; ///< those allowed: "k", "M"
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
