// SPDX-License-Identifier: MIT
#include "engine/units/catalogue.h"

#include <array>
#include <cassert>
#include <cmath>

namespace spanwright::units {

namespace {

enum class Takes { None, Every, ButKilo, Second, Litre, Tonne, Few };

struct Row {
    std::string_view name;
    /// A number and units from above, or "@" and the letter of a base dimension.
    std::string_view definition;
    Takes prefixes = Takes::None;
    std::string_view source;
    std::string_view shown = {}; ///< where it differs from the name
    std::string_view ascii = {}; ///< where it differs from the name
};

constexpr std::string_view kBase = "SI Brochure 9th edition, table 2";
constexpr std::string_view kDerived = "SI Brochure 9th edition, table 4";
constexpr std::string_view kAccepted = "SI Brochure 9th edition, table 8";
constexpr std::string_view kNist = "NIST SP 811 (2008), appendix B.8";
constexpr std::string_view kHabit = "common practice, no source; made of units in NIST SP 811";
constexpr std::string_view kLumber = "common practice, no source; 1 ft by 1 ft by 1 in";
constexpr std::string_view kCount = "common practice, no source; a count is a pure number";

// Pi over 180 and over 200 to 40 digits: more than any double holds.
constexpr std::string_view kDegree = "0.0174532925199432957692369076848861271344 rad";
constexpr std::string_view kGon = "0.0157079632679489661923132169163975144210 rad";

constexpr std::array kRows{
    // SI base units
    Row{"m", "@L", Takes::Every, kBase},
    Row{"kg", "@M", Takes::None, kBase},
    Row{"g", "0.001 kg", Takes::ButKilo, kBase},
    Row{"s", "@T", Takes::Second, kBase},
    Row{"A", "@I", Takes::Every, kBase},
    Row{"K", "@K", Takes::Every, kBase},
    Row{"mol", "@N", Takes::Every, kBase},
    Row{"cd", "@J", Takes::Every, kBase},
    // SI derived units with names of their own
    Row{"rad", "1", Takes::Few, kDerived},
    Row{"sr", "1", Takes::Few, kDerived},
    Row{"Hz", "1 1/s", Takes::Every, kDerived},
    Row{"N", "1 kg*m/s^2", Takes::Every, kDerived},
    Row{"Pa", "1 N/m^2", Takes::Every, kDerived},
    Row{"J", "1 N*m", Takes::Every, kDerived},
    Row{"W", "1 J/s", Takes::Every, kDerived},
    Row{"C", "1 A*s", Takes::Every, kDerived},
    Row{"V", "1 W/A", Takes::Every, kDerived},
    Row{"F", "1 C/V", Takes::Every, kDerived},
    Row{"ohm", "1 V/A", Takes::Every, kDerived, "Ω"},
    Row{"Ω", "1 V/A", Takes::Every, kDerived, {}, "ohm"},
    Row{"S", "1 A/V", Takes::Every, kDerived},
    Row{"Wb", "1 V*s", Takes::Every, kDerived},
    Row{"T", "1 Wb/m^2", Takes::Every, kDerived},
    Row{"H", "1 Wb/A", Takes::Every, kDerived},
    Row{"lm", "1 cd*sr", Takes::Every, kDerived},
    Row{"lx", "1 lm/m^2", Takes::Every, kDerived},
    Row{"Bq", "1 1/s", Takes::Every, kDerived},
    Row{"Gy", "1 J/kg", Takes::Every, kDerived},
    Row{"Sv", "1 J/kg", Takes::Every, kDerived},
    Row{"kat", "1 mol/s", Takes::Every, kDerived},
    // Units accepted beside the SI
    Row{"min", "60 s", Takes::None, kAccepted},
    Row{"h", "60 min", Takes::None, kAccepted},
    Row{"hr", "1 h", Takes::None, kAccepted},
    Row{"hour", "1 h", Takes::None, kAccepted},
    Row{"hours", "1 h", Takes::None, kAccepted},
    Row{"d", "24 h", Takes::None, kAccepted},
    Row{"day", "1 d", Takes::None, kAccepted},
    Row{"days", "1 d", Takes::None, kAccepted},
    Row{"week", "7 d", Takes::None, kHabit},
    Row{"weeks", "7 d", Takes::None, kHabit},
    Row{"deg", kDegree, Takes::None, kAccepted, "°"},
    Row{"°", kDegree, Takes::None, kAccepted, {}, "deg"},
    Row{"gon", kGon, Takes::None, kNist},
    Row{"ha", "10000 m^2", Takes::None, kAccepted},
    Row{"L", "0.001 m^3", Takes::Litre, kAccepted},
    Row{"l", "0.001 m^3", Takes::Litre, kAccepted},
    Row{"t", "1000 kg", Takes::Tonne, kAccepted},
    Row{"bar", "100000 Pa", Takes::Few, kNist},
    Row{"atm", "101325 Pa", Takes::None, kNist},
    Row{"Wh", "1 W*h", Takes::Tonne, kNist},
    // Weights as builders still state them; g_n = 9.80665 m/s^2
    Row{"kgf", "9.80665 N", Takes::None, kNist},
    Row{"tf", "1000 kgf", Takes::None, kHabit},
    // US customary: length, area, volume
    Row{"in", "0.0254 m", Takes::None, kNist},
    Row{"inch", "1 in", Takes::None, kNist},
    Row{"inches", "1 in", Takes::None, kNist},
    Row{"ft", "12 in", Takes::None, kNist},
    Row{"foot", "1 ft", Takes::None, kNist},
    Row{"feet", "1 ft", Takes::None, kNist},
    Row{"yd", "3 ft", Takes::None, kNist},
    Row{"mi", "1760 yd", Takes::None, kNist},
    Row{"mil", "0.001 in", Takes::None, kNist},
    Row{"sqft", "1 ft^2", Takes::None, kHabit},
    Row{"cuft", "1 ft^3", Takes::None, kHabit},
    Row{"cuyd", "1 yd^3", Takes::None, kHabit},
    Row{"bdft", "144 in^3", Takes::None, kLumber},
    Row{"MBM", "1000 bdft", Takes::None, kLumber},
    Row{"gal_us", "231 in^3", Takes::None, kNist},
    Row{"gal_uk", "4.54609 L", Takes::None, kNist},
    Row{"qt_us", "0.25 gal_us", Takes::None, kNist},
    Row{"pt_us", "0.125 gal_us", Takes::None, kNist},
    Row{"floz_us", "0.0078125 gal_us", Takes::None, kNist},
    // mass and force
    Row{"lbm", "0.45359237 kg", Takes::None, kNist},
    Row{"ozm", "0.0625 lbm", Takes::None, kNist},
    Row{"ton_us", "2000 lbm", Takes::None, kNist},
    Row{"ton_uk", "2240 lbm", Takes::None, kNist},
    Row{"lbf", "4.4482216152605 N", Takes::None, kNist},
    Row{"ozf", "0.0625 lbf", Takes::None, kNist},
    Row{"kip", "1000 lbf", Takes::None, kNist},
    Row{"kips", "1 kip", Takes::None, kNist},
    Row{"tonf_us", "2000 lbf", Takes::None, kNist},
    Row{"slug", "1 lbf*s^2/ft", Takes::None, kNist},
    // loads, pressures, weights of stuff
    Row{"psi", "1 lbf/in^2", Takes::None, kNist},
    Row{"ksi", "1 kip/in^2", Takes::None, kNist},
    Row{"psf", "1 lbf/ft^2", Takes::None, kNist},
    Row{"ksf", "1 kip/ft^2", Takes::None, kHabit},
    Row{"plf", "1 lbf/ft", Takes::None, kNist},
    Row{"klf", "1 kip/ft", Takes::None, kHabit},
    Row{"pli", "1 lbf/in", Takes::None, kNist},
    Row{"pcf", "1 lbf/ft^3", Takes::None, kHabit},
    // speed and power
    Row{"mph", "1 mi/h", Takes::None, kNist},
    Row{"hp", "550 ft*lbf/s", Takes::None, kNist},
    // counts and parts of a whole
    Row{"%", "0.01", Takes::None, "SI Brochure 9th edition, section 5.4.7"},
    Row{"piece", "1", Takes::None, kCount},
    Row{"pieces", "1", Takes::None, kCount},
    Row{"pcs", "1", Takes::None, kCount},
};

constexpr std::array kRefused{
    RefusedWord{"lb", diag::Code::AmbiguousUnit, "`lb` may be the force or the mass of a pound", "write `lbf` for the force or `lbm` for the mass"},
    RefusedWord{"lbs", diag::Code::AmbiguousUnit, "`lbs` may be the force or the mass of a pound", "write `lbf` for the force or `lbm` for the mass"},
    RefusedWord{"pound", diag::Code::AmbiguousUnit, "`pound` may be a force or a mass", "write `lbf` for the force or `lbm` for the mass"},
    RefusedWord{"pounds", diag::Code::AmbiguousUnit, "`pounds` may be a force or a mass", "write `lbf` for the force or `lbm` for the mass"},
    RefusedWord{"ton", diag::Code::AmbiguousUnit, "`ton` may be 1000 kg, 2000 lbm or 2240 lbm, or the force of one",
                "write `t` (1000 kg) or `ton_us` (2000 lbm), as a force `tf` or `tonf_us`"},
    RefusedWord{"tons", diag::Code::AmbiguousUnit, "`tons` may be 1000 kg, 2000 lbm or 2240 lbm, or the force of them",
                "write `t` (1000 kg) or `ton_us` (2000 lbm), as a force `tf` or `tonf_us`"},
    RefusedWord{"tonf", diag::Code::AmbiguousUnit, "`tonf` may be the force of 1000 kg or of 2000 lbm", "write `tf` (1000 kgf) or `tonf_us` (2000 lbf)"},
    RefusedWord{"oz", diag::Code::AmbiguousUnit, "`oz` may be a mass, a force or a volume",
                "write `ozm` for the mass, `ozf` for the force or `floz_us` for the volume"},
    RefusedWord{"gal", diag::Code::AmbiguousUnit, "`gal` may be the US or the imperial gallon", "write `gal_us` (231 in^3) or `gal_uk` (4.54609 L)"},
    RefusedWord{"gallon", diag::Code::AmbiguousUnit, "`gallon` may be the US or the imperial one", "write `gal_us` (231 in^3) or `gal_uk` (4.54609 L)"},
    RefusedWord{"degC", diag::Code::UnitOffset, "the zero of `degC` is shifted, so it cannot be used in formulas",
                "write a temperature or a difference of temperatures in `K`"},
    RefusedWord{"°C", diag::Code::UnitOffset, "the zero of `°C` is shifted, so it cannot be used in formulas",
                "write a temperature or a difference of temperatures in `K`"},
    RefusedWord{"degF", diag::Code::UnitOffset, "the zero of `degF` is shifted, so it cannot be used in formulas",
                "write a temperature or a difference of temperatures in `K`; 1 degF of difference is 5/9 K"},
    RefusedWord{"°F", diag::Code::UnitOffset, "the zero of `°F` is shifted, so it cannot be used in formulas",
                "write a temperature or a difference of temperatures in `K`; 1 °F of difference is 5/9 K"},
};

constexpr bool noNameTwice() {
    for (std::size_t i = 0; i < kRows.size(); ++i) {
        for (std::size_t j = i + 1; j < kRows.size(); ++j) {
            if (kRows[i].name == kRows[j].name) return false;
        }
        for (const RefusedWord& word : kRefused) {
            if (kRows[i].name == word.word) return false;
        }
    }
    return true;
}
static_assert(noNameTwice(), "a unit stands twice in the catalogue");

bool takes(Takes which, std::string_view prefix) {
    const auto oneOf = [&](std::initializer_list<std::string_view> list) {
        for (const std::string_view p : list) {
            if (p == prefix) return true;
        }
        return false;
    };
    switch (which) {
    case Takes::None: return false;
    case Takes::Every: return true;
    case Takes::ButKilo: return prefix != "k";                   // kg stands in the table itself
    case Takes::Second: return oneOf({"k", "m", "u", "n", "p"}); // "as" is a word of the language
    case Takes::Litre: return oneOf({"h", "d", "c", "m", "u"});
    case Takes::Tonne: return oneOf({"k", "M", "G"});
    case Takes::Few: return oneOf({"k", "m", "u"});
    }
    return false;
}

Dimension baseDimension(char letter) {
    switch (letter) {
    case 'L': return Dimension::of(Base::Length);
    case 'M': return Dimension::of(Base::Mass);
    case 'T': return Dimension::of(Base::Time);
    case 'I': return Dimension::of(Base::Current);
    case 'K': return Dimension::of(Base::Temperature);
    case 'N': return Dimension::of(Base::Amount);
    default: assert(letter == 'J'); return Dimension::of(Base::Light);
    }
}

/// Micro and ohm have more than one character; one is kept.
std::string plainName(std::string_view name) {
    std::string out;
    for (std::size_t at = 0; at < name.size();) {
        const std::string_view rest = name.substr(at);
        if (rest.starts_with("\xC2\xB5") || rest.starts_with("\xCE\xBC")) { // micro sign, Greek mu
            out += 'u';
            at += 2;
        } else if (rest.starts_with("\xE2\x84\xA6")) { // ohm sign
            out += "Ω";
            at += 3;
        } else {
            out += name[at++];
        }
    }
    return out;
}

} // namespace

const std::vector<Prefix>& siPrefixes() {
    static const std::vector<Prefix> prefixes{{"Q", "Q", 30},  {"R", "R", 27},  {"Y", "Y", 24},  {"Z", "Z", 21},  {"E", "E", 18},  {"P", "P", 15},
                                              {"T", "T", 12},  {"G", "G", 9},   {"M", "M", 6},   {"k", "k", 3},   {"h", "h", 2},   {"da", "da", 1},
                                              {"d", "d", -1},  {"c", "c", -2},  {"m", "m", -3},  {"u", "µ", -6},  {"n", "n", -9},  {"p", "p", -12},
                                              {"f", "f", -15}, {"a", "a", -18}, {"z", "z", -21}, {"y", "y", -24}, {"r", "r", -27}, {"q", "q", -30}};
    return prefixes;
}

const Catalogue& Catalogue::get() {
    static const Catalogue catalogue;
    return catalogue;
}

void Catalogue::add(std::string name, AtomRow row) {
    m_index.emplace(name, m_rows.size());
    m_rows.emplace_back(std::move(name), std::move(row));
}

Catalogue::Catalogue() {
    for (const Row& row : kRows) {
        AtomRow made;
        made.source = row.source;
        made.atom.shown = row.shown.empty() ? row.name : row.shown;
        made.atom.ascii = row.ascii.empty() ? row.name : row.ascii;
        if (row.definition.front() == '@') {
            made.atom.dimension = baseDimension(row.definition[1]);
        } else {
            const std::size_t blank = row.definition.find(' ');
            const auto number = exactDecimal(row.definition.substr(0, blank));
            assert(number);
            made.atom.factor = *number;
            if (blank != std::string_view::npos) {
                const auto unit = readUnitFrom(row.definition.substr(blank + 1), *this);
                assert(unit.ok());
                made.atom.dimension = unit.value().dimension;
                made.atom.factor *= exactFactor(unit.value());
            }
        }
        for (const Prefix& p : siPrefixes()) {
            if (takes(row.prefixes, p.ascii)) made.prefixes.emplace_back(p.ascii);
        }
        add(std::string(row.name), std::move(made));
    }
    for (const std::string_view code : currencyCodes()) {
        AtomRow made;
        made.source = "ISO 4217";
        made.atom.shown = made.atom.ascii = code;
        made.atom.dimension = Dimension::currency(code);
        add(std::string(code), std::move(made));
    }
}

std::optional<Atom> Catalogue::find(std::string_view written) const {
    const std::string name = plainName(written);
    if (const auto it = m_index.find(name); it != m_index.end()) return m_rows[it->second].second.atom;
    for (const Prefix& p : siPrefixes()) {
        if (!name.starts_with(p.ascii)) continue;
        const auto it = m_index.find(std::string_view(name).substr(p.ascii.size()));
        if (it == m_index.end()) continue;
        const AtomRow& row = m_rows[it->second].second;
        for (const std::string& allowed : row.prefixes) {
            if (allowed != p.ascii) continue;
            Atom atom = row.atom;
            atom.factor *= wholePower(10, p.tens);
            atom.shown = std::string(p.shown) + row.atom.shown;
            atom.ascii = std::string(p.ascii) + row.atom.ascii;
            return atom;
        }
    }
    return std::nullopt;
}

const RefusedWord* Catalogue::refused(std::string_view name) {
    for (const RefusedWord& word : kRefused) {
        if (word.word == name) return &word;
    }
    return nullptr;
}

const std::vector<CatalogueEntry>& catalogue() {
    static const std::vector<CatalogueEntry> entries = [] {
        std::vector<CatalogueEntry> list;
        for (const auto& [name, row] : Catalogue::get().rows()) {
            list.push_back({name, nearestDouble(row.atom.factor), row.atom.dimension, !row.prefixes.empty(), row.prefixes, row.source});
        }
        return list;
    }();
    return entries;
}

const std::vector<std::string>& unitNames() {
    static const std::vector<std::string> names = [] {
        std::vector<std::string> list;
        for (const CatalogueEntry& entry : catalogue()) list.push_back(entry.name);
        return list;
    }();
    return names;
}

} // namespace spanwright::units
