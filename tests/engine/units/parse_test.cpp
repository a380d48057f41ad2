// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>
#include <random>
#include <string>

#include "engine/base/text.h"
#include "engine/units/unit.h"

using namespace spanwright;
using namespace spanwright::units;

namespace {

std::string refusal(std::string_view text) {
    const auto read = readUnit(text);
    if (read) return "reads as " + read.value().ascii;
    const ReadError& e = read.error();
    return std::string(diag::codeText(e.code)) + " " + std::to_string(e.span.begin) + "-" + std::to_string(e.span.end) + " " + e.message + "; " + e.mend;
}

std::string shown(std::string_view text) {
    const auto read = readUnit(text);
    return read ? read.value().shown + " | " + read.value().ascii : refusal(text);
}

} // namespace

TEST_CASE("a unit reads alike however its marks are written") {
    CHECK(shown("kN*m") == "kN·m | kN*m");
    CHECK(readUnit("kN·m").value() == readUnit("kN*m").value());
    CHECK(readUnit("kN\xE2\x8B\x85m").value() == readUnit("kN*m").value()); // dot operator
    CHECK(shown("N/mm²") == "N/mm² | N/mm^2");
    CHECK(readUnit("N/mm^2").value() == readUnit("N/mm²").value());
    CHECK(readUnit("N*mm^-2").value() == readUnit("N/mm²").value());
    CHECK(readUnit("N·mm⁻²").value() == readUnit("N/mm²").value());
    CHECK(readUnit(" N / mm ^ 2 ").value() == readUnit("N/mm²").value());
    CHECK(readUnit("mm^(-2)*N").value().factor == 1e6);
    CHECK(readUnit("µm").value() == readUnit("um").value());
    CHECK(readUnit("\xCE\xBCm").value() == readUnit("um").value());     // Greek mu
    CHECK(readUnit("\xE2\x84\xA6").value() == readUnit("ohm").value()); // ohm sign
    CHECK(readUnit("kΩ").value() == readUnit("kohm").value());
    CHECK(readUnit("°").value() == readUnit("deg").value());
    CHECK(shown("um") == "µm | um");
    CHECK(shown("deg") == "° | deg");
    CHECK(shown("lbf*ft") == "lbf·ft | lbf*ft");
}

TEST_CASE("what divides stands behind what multiplies; equal names are gathered") {
    CHECK(shown("1/m") == "1/m | 1/m");
    CHECK(shown("m^-1") == "1/m | 1/m");
    CHECK(shown("1/m*N") == "N/m | N/m");
    CHECK(shown("W/(m^2*K)") == "W/(m²·K) | W/(m^2*K)");
    CHECK(shown("W/m^2/K") == "W/(m²·K) | W/(m^2*K)");
    CHECK(shown("m*m*m") == "m³ | m^3");
    CHECK(shown("(kg/m)^2") == "kg²/m² | kg^2/m^2");
    CHECK(shown("m^(1/2)") == "m^(1/2) | m^(1/2)");
    CHECK(shown("m^0.5") == "m^(1/2) | m^(1/2)");
    CHECK(shown("N/m^(3/2)") == "N/m^(3/2) | N/m^(3/2)");
    CHECK(shown("EUR/MBM") == "EUR/MBM | EUR/MBM");
    CHECK(shown("mm/m") == "mm/m | mm/m");
    CHECK(readUnit("mm/m").value().dimension.isNumber());
    CHECK(readUnit("mm/m").value().factor == 0.001);
}

TEST_CASE("a pure number has no text, written out or cancelled") {
    for (const char* text : {"", " ", "1", "m/m", "kN/kN", "m^0", "(1)", "1*1", "N*m/(m*N)"}) {
        CAPTURE(text);
        const auto read = readUnit(text);
        REQUIRE(read.ok());
        CHECK(read.value() == Unit{});
    }
    CHECK(readUnit("%").value().factor == 0.01);
    CHECK(readUnit("%").value().dimension.isNumber());
}

TEST_CASE("what a unit measures") {
    const Dimension length = Dimension::of(Base::Length);
    const Dimension force = Dimension::of(Base::Mass).times(length).over(Dimension::of(Base::Time, {2, 1}));
    CHECK(readUnit("kN*m").value().dimension == force.times(length));
    CHECK(readUnit("psi").value().dimension == force.over(length).over(length));
    CHECK(readUnit("m^(1/2)").value().dimension == length.toThe({1, 2}));
    CHECK(readUnit("USD/bdft").value().dimension == Dimension::currency("USD").over(length.toThe({3, 1})));
    CHECK(readUnit("mm^(1/2)").value().factor == doctest::Approx(0.0316227766016838).epsilon(1e-14)); // sqrt(10)/100
    CHECK(readUnit("mm^(1/3)").value().factor == doctest::Approx(0.1).epsilon(1e-14));
}

TEST_CASE("unknown units: the nearest is suggested, a likely slip named") {
    CHECK(refusal("KN") == "U201 0-2 `KN` is no unit in the catalogue; did you mean `kN`?");
    CHECK(refusal("Mpa") == "U201 0-3 `Mpa` is no unit in the catalogue; did you mean `MPa`?");
    CHECK(refusal("inchs") == "U201 0-5 `inchs` is no unit in the catalogue; did you mean `inch`?");
    CHECK(refusal("kN/fortnight") == "U201 3-12 `fortnight` is no unit in the catalogue; write a unit of the catalogue");
    CHECK(refusal("kNm") == "U201 0-3 `kNm` is no unit in the catalogue; write `kN*m`");
    CHECK(refusal("lbfft") == "U201 0-5 `lbfft` is no unit in the catalogue; write `lbf*ft`");
    CHECK(refusal("N/mm2") == "U201 2-5 `mm2` is no unit in the catalogue; write the power as `mm^2`");
    CHECK(refusal("sheet") == "U201 0-5 `sheet` is no unit in the catalogue; panels are counted with `piece`");
    CHECK(refusal("σ") == "U201 0-2 `σ` is no unit in the catalogue; write a unit of the catalogue");
}

TEST_CASE("units with two meanings are refused with their readings") {
    for (const char* word : {"lb", "lbs", "pound", "pounds", "ton", "tons", "tonf", "oz", "gal", "gallon"}) {
        CAPTURE(word);
        const auto read = readUnit(word);
        REQUIRE_FALSE(read.ok());
        CHECK(read.error().code == diag::Code::AmbiguousUnit);
        // What the mend offers must itself be readable.
        std::string mend = read.error().mend;
        int offers = 0;
        for (std::size_t at = mend.find('`'); at != std::string::npos; at = mend.find('`', at + 1)) {
            const std::size_t close = mend.find('`', at + 1);
            CHECK(findUnit(mend.substr(at + 1, close - at - 1)));
            at = close;
            ++offers;
        }
        CHECK(offers >= 2);
    }
    CHECK(refusal("lb/ft^3") == "U202 0-2 `lb` may be the force or the mass of a pound; write `lbf` for the force or `lbm` for the mass");
}

TEST_CASE("units with a shifted zero are refused") {
    for (const char* word : {"degC", "°C", "degF", "°F", "W/(m^2*degC)"}) {
        CAPTURE(word);
        const auto read = readUnit(word);
        REQUIRE_FALSE(read.ok());
        CHECK(read.error().code == diag::Code::UnitOffset);
    }
    CHECK(findUnit("K"));
}

TEST_CASE("malformed units name the place and the mend") {
    CHECK(refusal("kN m") == "U203 3-4 two units side by side; join them with `*` or `/`, such as `kN*m`");
    CHECK(refusal("kN*") == "U203 3-4 the unit breaks off; write a unit name here");
    CHECK(refusal("/m") == "U203 0-1 `/` does not fit in a unit; join unit names with `*` and `/`, powers with `^`, such as `N/mm^2`");
    CHECK(refusal("m)") == "U203 1-2 a bracket is closed that was never opened; take out the `)`");
    CHECK(refusal("(m") == "U203 2-3 a bracket of the unit is not closed; add the missing `)`");
    CHECK(refusal("2*m") == "U203 0-1 a number other than 1 in a unit; put numbers into the value; a power is written with `^`, such as `mm^2`");
    CHECK(refusal("m^x") == "U203 2-3 a power that is no number; write the power as `^2` or `^(1/2)`");
    CHECK(refusal("m^(1/0)") == "U203 1-6 a power divides by zero; write the power as `^2` or `^(1/2)`");
    CHECK(refusal("m^(1/2") == "U203 6-7 a power's bracket is not closed; add the missing `)`");
    CHECK(refusal("m^100") == "U203 2-5 a power beyond 99; write a smaller power");
    CHECK(refusal("(m^50)^2") == "U203 0-8 a power beyond 99; write a smaller power");
    CHECK(refusal("m⁻") == "U203 1-4 a raised minus without a power; write the power as `^-1`");
    CHECK(refusal("Qm^99") == "U207 0-5 the unit is too large or too small for a number; use units nearer to the value");
    CHECK(refusal(std::string(501, 'm')) == "U203 0-501 a unit longer than 500 bytes; write a shorter unit");
    CHECK(refusal("kN&m") == "U203 2-3 `&` does not fit in a unit; join unit names with `*` and `/`, powers with `^`, such as `N/mm^2`");
    CHECK(refusal(std::string(250, '(') + "m" + std::string(249, ')')) == "U203 500-501 a bracket of the unit is not closed; add the missing `)`");
}

TEST_CASE("findUnit knows single names only") {
    for (const char* text : {"", "1", "kN*m", "mm^2", "m ", " m", "(m)", "lb", "degC", "°C"}) {
        CAPTURE(text);
        CHECK_FALSE(findUnit(text));
    }
    CHECK(findUnit("kN")->ascii == "kN");
    CHECK(findUnit("°")->ascii == "deg");
    CHECK(findUnit("%"));
}

TEST_CASE("a unit's texts read back as the same unit, for random units") {
    std::mt19937 random(2024);
    std::vector<std::string> names;
    for (const CatalogueEntry& e : catalogue()) {
        names.push_back(e.name);
        for (const std::string& p : e.prefixed) {
            if (p == "k" || p == "m" || p == "u" || p == "M") names.push_back(p + e.name);
        }
    }
    int read = 0;
    for (int i = 0; i < 20000; ++i) {
        std::string text;
        for (auto n = random() % 4 + 1; n > 0; --n) {
            if (!text.empty()) text += random() % 2 == 0 ? "*" : "/";
            const bool bracket = random() % 8 == 0;
            if (bracket) text += "(";
            text += names[random() % names.size()];
            if (bracket) text += "/" + names[random() % names.size()] + ")";
            switch (random() % 8) {
            case 0: text += "^2"; break;
            case 1: text += "^-3"; break;
            case 2: text += "²"; break;
            case 3: text += "^(" + std::to_string(random() % 7 + 1) + "/" + std::to_string(random() % 5 + 1) + ")"; break;
            case 4: text += "^(-1/2)"; break;
            default: break;
            }
        }
        CAPTURE(text);
        const auto unit = readUnit(text);
        if (!unit) {
            REQUIRE(unit.error().code == diag::Code::NumberTooLarge);
            continue;
        }
        ++read;
        const auto fromAscii = readUnit(unit.value().ascii);
        REQUIRE(fromAscii.ok());
        REQUIRE(fromAscii.value() == unit.value());
        const auto fromShown = readUnit(unit.value().shown);
        REQUIRE(fromShown.ok());
        REQUIRE(fromShown.value() == unit.value());
        for (const char c : unit.value().ascii) REQUIRE(static_cast<unsigned char>(c) < 0x80);
    }
    CHECK(read > 15000);
}

TEST_CASE("reading a unit never crashes and places its errors inside the text, whatever the bytes") {
    std::mt19937 random(99);
    const std::string marks = "mkNft^()/*123-. %\xC2\xB7\xC2\xB0\xC2\xB2\xE2\x81\xBB";
    for (int i = 0; i < 40000; ++i) {
        std::string text;
        for (auto n = random() % 14; n > 0; --n)
            text += i % 2 == 0 ? marks[random() % marks.size()] : static_cast<char>(static_cast<unsigned char>(random() % 256));
        const auto unit = readUnit(text);
        if (const auto single = findUnit(text)) REQUIRE(unit.ok());
        if (unit) {
            CHECK(unit.value().factor > 0.0);
            continue;
        }
        REQUIRE(unit.error().span.begin <= text.size());
        REQUIRE(unit.error().span.end <= text.size() + 1);
        REQUIRE(unit.error().span.begin < unit.error().span.end);
        REQUIRE_FALSE(unit.error().message.empty());
        REQUIRE_FALSE(unit.error().mend.empty());
        if (base::isUtf8(text)) REQUIRE(base::isUtf8(unit.error().message));
    }
}
