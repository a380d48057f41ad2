// SPDX-License-Identifier: MIT
// The catalogue against outside lists: UDUNITS-2, GNU units and NIST SP 811. A missing oracle is a
// failure, never a skip.
#include "engine/units/catalogue.h"

#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <doctest/doctest.h>
#include <fstream>
#include <map>
#include <memory>
#include <set>
#include <sstream>
#include <udunits2.h>

#include "engine/base/text.h"
#include "engine/units/unit.h"

using namespace spanwright;
using namespace spanwright::units;

namespace {

/// Our name -> theirs, where it differs or where theirs means something else.
const std::map<std::string, std::string> kUdunits{
    {"°", "arc_degree"},
    {"deg", "arc_degree"},
    {"gon", "grade"},
    {"Ω", "ohm"},
    {"hr", "hour"},
    {"hours", "hour"},
    {"days", "day"},
    {"weeks", "week"},
    {"ha", "hectare"},
    {"inches", "inch"},
    {"yd", "yard"},
    {"mi", "mile"},
    {"tf", "1000 kgf"},
    {"sqft", "foot^2"},
    {"cuft", "foot^3"},
    {"cuyd", "yard^3"},
    {"bdft", "144 inch^3"},
    {"MBM", "144000 inch^3"},
    {"gal_us", "231 inch^3"},
    {"gal_uk", "UK_liquid_gallon"},
    {"qt_us", "57.75 inch^3"},
    {"pt_us", "28.875 inch^3"},
    {"floz_us", "1.8046875 inch^3"},
    {"lbm", "lb"},
    {"ozm", "0.0625 lb"},
    {"ton_us", "short_ton"},
    {"ton_uk", "long_ton"},
    {"ozf", "0.0625 lbf"},
    {"kips", "kip"},
    {"tonf_us", "ton_force"},
    {"slug", "lbf.s^2/foot"},
    {"psf", "lbf/foot^2"},
    {"ksf", "kip/foot^2"},
    {"plf", "lbf/foot"},
    {"klf", "kip/foot"},
    {"pli", "lbf/inch"},
    {"pcf", "lbf/foot^3"},
    {"mph", "mile/hour"},
    {"hp", "550 foot.lbf/s"},
    {"piece", "1"},
    {"pieces", "1"},
    {"pcs", "1"},
    {"Wh", "W.h"},
    {"h", "hour"},
    {"d", "day"},
    {"min", "minute"},
    {"in", "inch"},
    {"ft", "foot"},
    {"L", "liter"},
    {"l", "liter"},
    {"t", "tonne"},
};

/// Our name -> the expression for GNU units; names alike in both are not listed.
const std::map<std::string, std::string> kGnu{
    {"rad", "radian"},
    {"°", "degree"},
    {"deg", "degree"},
    {"Ω", "ohm"},
    {"ha", "hectare"},
    {"L", "liter"},
    {"l", "liter"},
    {"t", "tonne"},
    {"tf", "1000 kgf"},
    {"sqft", "ft^2"},
    {"cuft", "ft^3"},
    {"cuyd", "yd^3"},
    {"bdft", "boardfoot"},
    {"MBM", "1000 boardfoot"},
    {"gal_us", "usgallon"},
    {"gal_uk", "brgallon"},
    {"qt_us", "usquart"},
    {"pt_us", "uspint"},
    {"floz_us", "usfluidounce"},
    {"lbm", "lb"},
    {"ozm", "ounce"},
    {"ton_us", "shortton"},
    {"ton_uk", "longton"},
    {"ozf", "ounce force"},
    {"kips", "kip"},
    {"tonf_us", "shortton force"},
    {"psf", "lbf/ft^2"},
    {"ksf", "kip/ft^2"},
    {"plf", "lbf/ft"},
    {"klf", "kip/ft"},
    {"pli", "lbf/in"},
    {"pcf", "lbf/ft^3"},
    {"ksi", "kip/in^2"},
    {"mph", "mile/hour"},
    {"hp", "horsepower"},
    {"%", "percent"},
    {"piece", "1"},
    {"pieces", "1"},
    {"pcs", "1"},
    {"kip", "kip"},
    {"d", "day"},
    {"h", "hour"},
    {"Wh", "W hour"},
    {"min", "minute"},
    {"hours", "hour"},
    {"days", "day"},
    {"weeks", "week"},
    {"kat", "katal"},
};

/// Coherent SI for either oracle.
std::string baseText(const Dimension& d, const char* times, const char* radix) {
    std::string out;
    const std::array<std::pair<Base, const char*>, 7> bases{{{Base::Length, "m"},
                                                             {Base::Mass, "kg"},
                                                             {Base::Time, "s"},
                                                             {Base::Current, "A"},
                                                             {Base::Temperature, "K"},
                                                             {Base::Amount, "mol"},
                                                             {Base::Light, "cd"}}};
    for (const auto& [base, symbol] : bases) {
        const Rational p = d.power(base);
        if (p.isZero()) continue;
        REQUIRE(p.isWhole());
        if (!out.empty()) out += times;
        out += symbol;
        out += radix;
        out += std::to_string(p.num);
    }
    return out.empty() ? "1" : out;
}

class Udunits {
public:
    Udunits() {
        ut_set_error_message_handler(ut_ignore);
        m_system.reset(ut_read_xml(nullptr));
    }
    [[nodiscard]] bool ready() const { return m_system != nullptr; }
    /// One of `from` in `to`; nothing if either is unknown or they are of different kinds.
    [[nodiscard]] std::optional<double> convert(const std::string& from, const std::string& to) const {
        const Handle<ut_unit, ut_free> a(ut_parse(m_system.get(), from.c_str(), UT_UTF8));
        const Handle<ut_unit, ut_free> b(ut_parse(m_system.get(), to.c_str(), UT_UTF8));
        if (!a || !b) return std::nullopt;
        const Handle<cv_converter, cv_free> c(ut_get_converter(a.get(), b.get()));
        if (!c) return std::nullopt;
        return cv_convert_double(c.get(), 1.0);
    }

private:
    template <class T, void (*free)(T*)> struct Free {
        void operator()(T* p) const { free(p); }
    };
    template <class T, void (*free)(T*)> using Handle = std::unique_ptr<T, Free<T, free>>;
    Handle<ut_system, ut_free_system> m_system;
};

std::string named(const std::map<std::string, std::string>& list, const std::string& name) {
    const auto it = list.find(name);
    return it == list.end() ? name : it->second;
}

bool isCurrency(const CatalogueEntry& e) { return !e.dimension.currencies().empty(); }

} // namespace

TEST_CASE("every unit has the factor and the dimension that UDUNITS-2 gives it") {
    const Udunits udunits;
    REQUIRE(udunits.ready());
    int checked = 0;
    for (const CatalogueEntry& e : catalogue()) {
        if (isCurrency(e)) continue;
        CAPTURE(e.name);
        const auto theirs = udunits.convert(named(kUdunits, e.name), baseText(e.dimension, ".", "^"));
        REQUIRE(theirs);
        CHECK(e.factor == doctest::Approx(*theirs).epsilon(1e-14));
        ++checked;
    }
    CHECK(checked > 90);
}

TEST_CASE("every prefixed unit has the factor that UDUNITS-2 gives it") {
    const Udunits udunits;
    REQUIRE(udunits.ready());
    const std::set<std::string> younger{"Q", "R", "r", "q"}; // 2022; UDUNITS-2 does not know them
    int checked = 0;
    for (const CatalogueEntry& e : catalogue()) {
        for (const std::string& prefix : e.prefixed) {
            const std::string name = prefix + e.name;
            CAPTURE(name);
            const auto ours = findUnit(name);
            REQUIRE(ours);
            CHECK(ours->dimension == e.dimension);
            if (younger.contains(prefix)) continue;
            // Through the plain unit, since some of ours have no symbol there.
            const std::string theirName = e.name == "Wh" ? prefix + "W.hour" : prefix + named(kUdunits, e.name);
            const auto theirs = udunits.convert(theirName, baseText(e.dimension, ".", "^"));
            REQUIRE(theirs);
            CHECK(ours->factor == doctest::Approx(*theirs).epsilon(1e-14));
            ++checked;
        }
    }
    CHECK(checked > 400);
    // The four prefixes of 2022 (27th CGPM), from memory: neither oracle knows them.
    CHECK(findUnit("Rm")->factor == 1e27);
    CHECK(findUnit("Qm")->factor == 1e30);
    CHECK(findUnit("rm")->factor == 1e-27);
    CHECK(findUnit("qm")->factor == 1e-30);
}

TEST_CASE("every unit has the factor and the dimension that GNU units gives it") {
    const std::string asked = std::string(SPANWRIGHT_BINARY_DIR) + "/gnu_units_asked.txt";
    std::vector<const CatalogueEntry*> entries;
    {
        std::ofstream file(asked);
        for (const CatalogueEntry& e : catalogue()) {
            if (isCurrency(e)) continue;
            file << named(kGnu, e.name) << "\n" << baseText(e.dimension, " ", "^") << "\n";
            entries.push_back(&e);
        }
        REQUIRE(file.good());
    }
    const std::string command = "LC_ALL=C units --terse --quiet --strict --output-format '%.17g' < '" + asked + "' 2>&1";
    FILE* pipe = popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::string output;
    std::array<char, 4096> buffer{};
    for (std::size_t n = 0; (n = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;) output.append(buffer.data(), n);
    REQUIRE(pclose(pipe) == 0);
    std::istringstream lines(output);
    std::string line;
    for (const CatalogueEntry* e : entries) {
        CAPTURE(e->name);
        REQUIRE(std::getline(lines, line));
        CAPTURE(line);
        const auto theirs = base::readDouble(line);
        REQUIRE(theirs);
        CHECK(e->factor == doctest::Approx(*theirs).epsilon(1e-14));
    }
}

TEST_CASE("factors equal those printed in NIST SP 811 to the last printed figure") {
    std::ifstream file(std::string(SPANWRIGHT_SOURCE_DIR) + "/tests/reference/units/nist_sp811_b8.csv");
    REQUIRE(file.good());
    std::string line;
    std::getline(file, line); // source
    std::getline(file, line); // head
    int checked = 0;
    while (std::getline(file, line)) {
        const std::size_t first = line.find(',');
        const std::size_t second = line.find(',', first + 1);
        const std::string name = line.substr(0, first);
        CAPTURE(name);
        const auto unit = readUnit(name);
        const auto printed = base::readDouble(line.substr(first + 1, second - first - 1));
        REQUIRE(unit.ok());
        REQUIRE(printed);
        // Seven figures are printed: half a step of the seventh.
        const double step = std::pow(10.0, std::floor(std::log10(*printed)) - 6.0);
        CHECK(std::fabs(unit.value().factor - *printed) <= 0.5000001 * step);
        ++checked;
    }
    CHECK(checked == 60);
}

TEST_CASE("definitions that are exact are exact") {
    // SI Brochure 9th edition (N, Pa, J by definition); pound of 1959 and g_n of 1901: NIST SP 811.
    CHECK(readUnit("in").value().factor == 0.0254);
    CHECK(readUnit("ft").value().factor == 0.3048);
    CHECK(readUnit("yd").value().factor == 0.9144);
    CHECK(readUnit("lbm").value().factor == 0.45359237);
    CHECK(readUnit("lbf").value().factor == 4.4482216152605);
    CHECK(readUnit("kip").value().factor == 4448.2216152605);
    CHECK(readUnit("kgf").value().factor == 9.80665);
    CHECK(readUnit("tf").value().factor == 9806.65);
    CHECK(readUnit("N/mm^2").value().factor == 1e6);
    CHECK(readUnit("kN/m").value().factor == 1000.0);
    CHECK(readUnit("mm^4").value().factor == 1e-12);
    CHECK(readUnit("mm^3").value().factor == 1e-9);
    CHECK(readUnit("bdft").value().factor == 0.002359737216); // 144 x 2.54^3 cm^3
    CHECK(readUnit("MBM").value().factor == 2.359737216);
    CHECK(readUnit("deg").value().factor == 0.017453292519943295); // pi/180
}

TEST_CASE("no name in the catalogue can be read two ways") {
    std::map<std::string, std::string> readings;
    for (const CatalogueEntry& e : catalogue()) {
        CAPTURE(e.name);
        CHECK(readings.emplace(e.name, e.name).second);
    }
    for (const CatalogueEntry& e : catalogue()) {
        for (const std::string& prefix : e.prefixed) {
            const std::string name = prefix + e.name;
            const auto [it, fresh] = readings.emplace(name, prefix + "-" + e.name);
            INFO(name, " is ", it->second, " and ", prefix, "-", e.name);
            CHECK(fresh);
        }
    }
    CHECK(readings.size() > 700);
    for (const auto& [name, reading] : readings) {
        CAPTURE(name);
        CHECK(Catalogue::refused(name) == nullptr);
    }
}

TEST_CASE("words of the sheet language that may follow a number are no units") {
    for (const char* word : {"as", "at",    "by",    "from", "to",    "over",   "each", "and",  "or",  "not",   "if",     "only", "off", "with",
                             "on", "fixed", "sinks", "line", "point", "moment", "use",  "span", "end", "sheet", "sheets", "for",  "of"}) {
        CAPTURE(word);
        CHECK_FALSE(findUnit(word));
    }
}

TEST_CASE("names that look like a prefix and a unit mean what the trade means") {
    CHECK(findUnit("min")->factor == 60.0);                         // minute, not milli-inch
    CHECK(findUnit("ft")->factor == 0.3048);                        // foot, not femto-tonne
    CHECK(findUnit("cd")->dimension == Dimension::of(Base::Light)); // candela, not centi-day
    CHECK(findUnit("d")->factor == 86400.0);
    CHECK(findUnit("h")->factor == 3600.0);
    CHECK(findUnit("Pa")->factor == 1.0);
    CHECK(findUnit("ha")->factor == 10000.0);
    CHECK(findUnit("kip")->factor == 4448.2216152605);
    CHECK(findUnit("mil")->factor == 2.54e-5);
    CHECK(findUnit("mi")->factor == 1609.344);
    CHECK(findUnit("mol")->dimension == Dimension::of(Base::Amount));
    CHECK(findUnit("T")->dimension == readUnit("Wb/m^2").value().dimension);
    CHECK(findUnit("t")->factor == 1000.0);
    CHECK_FALSE(findUnit("yin"));
    CHECK_FALSE(findUnit("mft"));
    CHECK_FALSE(findUnit("klbf"));
    CHECK_FALSE(findUnit("kkg"));
    CHECK_FALSE(findUnit("mmm"));
}

TEST_CASE("currencies are dimensions of their own, one for each code of ISO 4217") {
    CHECK(currencyCodes().size() == 166);
    for (const std::string_view code : currencyCodes()) {
        const auto unit = findUnit(code);
        REQUIRE(unit);
        CHECK(unit->dimension == Dimension::currency(code));
        CHECK(unit->factor == 1.0);
    }
    CHECK_FALSE(findUnit("EUR")->dimension == findUnit("USD")->dimension);
    CHECK_FALSE(findUnit("XXX"));
    CHECK_FALSE(findUnit("eur"));
    CHECK_FALSE(findUnit("kEUR"));
}

TEST_CASE("the catalogue names a source for each unit and lists each once for completion") {
    CHECK(unitNames().size() == catalogue().size());
    for (const CatalogueEntry& e : catalogue()) {
        CAPTURE(e.name);
        CHECK_FALSE(e.source.empty());
        CHECK(e.prefixes == !e.prefixed.empty());
        const auto unit = findUnit(e.name);
        REQUIRE(unit);
        CHECK(unit->dimension == e.dimension);
        CHECK(unit->factor == e.factor);
    }
}
