// SPDX-License-Identifier: MIT
#include <bit>
#include <cmath>
#include <cstdint>
#include <doctest/doctest.h>
#include <random>
#include <string>

#include "engine/base/text.h"
#include "engine/units/format.h"
#include "engine/units/unit.h"

using namespace spanwright;
using namespace spanwright::units;

namespace {

double si(std::string_view text) {
    const auto read = readValue(text);
    INFO(std::string(text));
    REQUIRE(read.ok());
    return read.value().si;
}

std::string refusal(std::string_view text) {
    const auto read = readValue(text);
    if (read) return "reads as " + writeValue(read.value().si, read.value().unit);
    const ReadError& e = read.error();
    return std::string(diag::codeText(e.code)) + " " + std::to_string(e.span.begin) + "-" + std::to_string(e.span.end) + " " + e.message + "; " + e.mend;
}

} // namespace

TEST_CASE("a number and its unit") {
    CHECK(si("4.2 m") == 4.2);
    CHECK(si("4.2m") == 4.2);
    CHECK(si("1.5 kN/m^2") == 1500.0);
    CHECK(si("1.5 kN/m²") == 1500.0);
    CHECK(si("9.81 m/s^2") == 9.81);
    CHECK(si("-3") == -3.0);
    CHECK(si("+3") == 3.0);
    CHECK(si("\xE2\x88\x92"
             "2 m") == -2.0); // true minus
    CHECK(si("1e3 N") == 1000.0);
    CHECK(si("1.5E-3 m") == 0.0015);
    CHECK(si("25 %") == 0.25);
    CHECK(si("25%") == 0.25);
    CHECK(si(".5 m") == 0.5);
    CHECK(si("5. m") == 5.0);
    CHECK(si("1.5/m") == 1.5);
    CHECK(si("5 1/m") == 5.0);
    CHECK(si("2 1/h") == 2.0 / 3600.0);
    CHECK(si("90 deg") == 1.5707963267948966);
    CHECK(si("90°") == 1.5707963267948966);
    CHECK(si("12 EUR/m") == 12.0);
    CHECK(si("0 m") == 0.0);
    CHECK_FALSE(std::signbit(si("-0 m")));
    CHECK(si("3\xC2\xA0m") == 3.0); // no-break space
    CHECK(readValue("3 m").value().unit.ascii == "m");
    CHECK(readValue("3").value().unit == Unit{});
}

TEST_CASE("one length written in different units is one double") {
    CHECK(si("3600 mm") == si("3.6 m"));
    CHECK(si("360 cm") == 3.6);
    CHECK(si("1001 mm") == 1.001); // 1001 x 0.001 is another double
    CHECK(si("3 dm") == 0.3);
    CHECK(si("14 ft") == 4.2672);
    CHECK(si("0.7 %") == 0.007);
    std::mt19937 random(3);
    for (int i = 0; i < 20000; ++i) {
        const auto millimetres = random() % 100000;
        const std::string metres = std::to_string(millimetres / 1000) + "." + std::to_string(1000 + millimetres % 1000).substr(1);
        REQUIRE(si(std::to_string(millimetres) + " mm") == si(metres + " m"));
        REQUIRE(si(std::to_string(millimetres) + " mm") == *base::readDouble(metres));
    }
}

TEST_CASE("feet and inches, fractions") {
    CHECK(si("14 ft 6 in") == 4.4196);
    CHECK(si("14ft 6in") == 4.4196);
    CHECK(si("-14 ft 6 in") == -4.4196);
    CHECK(si("5 1/2 in") == 0.1397);
    CHECK(si("5-1/2 in") == 0.1397);
    CHECK(si("5½ in") == 0.1397);
    CHECK(si("½ in") == 0.0127);
    CHECK(si("1/2 in") == 0.0127);
    CHECK(si("14 ft 6 1/2 in") == 4.4323);
    CHECK(si("14'-6 1/2\"") == 4.4323);
    CHECK(si("14' 6 1/2\"") == 4.4323);
    CHECK(si("14'") == 4.2672);
    CHECK(si("6 1/2\"") == 0.1651);
    CHECK(si("14\xE2\x80\xB2 6\xE2\x80\xB3") == 4.4196); // prime marks
    CHECK(si("1 yd 2 ft 3 in") == 1.6002);
    CHECK(si("2 h 30 min") == 9000.0);
    CHECK(si("5 1/2") == 5.5);
    CHECK(readValue("14 ft 6 in").value().unit.ascii == "ft");
}

TEST_CASE("a decimal comma is understood where it can be nothing else") {
    CHECK(si("3,6 m") == 3.6);
    CHECK(si("0,125 m") == 0.125);
    CHECK(si("12,34 m") == 12.34);
    CHECK(si("1234,567 m") == 1234.567);
    CHECK(si("3,6e3 N") == 3600.0);
}

TEST_CASE("a comma that may mark thousands is refused with both readings") {
    CHECK(refusal("1,200") == "U204 0-5 `1,200` may be 1200 or 1.200; write `1200` or `1.200`");
    CHECK(refusal("-1,200 mm") == "U204 1-6 `1,200` may be 1200 or 1.200; write `1200` or `1.200`");
    CHECK(refusal("12,000 N") == "U204 0-6 `12,000` may be 12000 or 12.000; write `12000` or `12.000`");
    CHECK(refusal("1,200,000 mm") == "U204 0-9 `1,200,000` has marks between thousands; write `1200000`");
    CHECK(refusal("1,200.5 mm") == "U204 0-7 `1,200.5` has marks between thousands; write `1200.5`");
    CHECK(refusal("1.200,5 mm") == "U204 0-7 `1.200,5` has marks between thousands; write `1200.5`");
}

TEST_CASE("a bare number takes the unit of its cell, a written unit wins") {
    const Unit mm = readUnit("mm").value();
    CHECK(readValue("220", &mm).value().si == 0.22);
    CHECK(readValue(" 220 ", &mm).value().si == 0.22);
    CHECK(readValue("3,5", &mm).value().si == 0.0035);
    CHECK(readValue("5 1/2", &mm).value().si == 0.0055);
    CHECK(readValue("220", &mm).value().unit == mm);
    CHECK(readValue("22 cm", &mm).value().si == 0.22);
    CHECK(readValue("22 cm", &mm).value().unit.ascii == "cm");
}

TEST_CASE("what is no value is refused with place and mend") {
    CHECK(refusal("") == "U205 0-1 a number is missing; write a number with its unit, such as `3.6 m`");
    CHECK(refusal("-") == "U205 1-2 a number is missing; write a number with its unit, such as `3.6 m`");
    CHECK(refusal("L") == "U205 0-1 `L` where a number is wanted; write a number with its unit, such as `3.6 m`");
    CHECK(refusal("nan m") == "U205 0-1 `n` where a number is wanted; write a number with its unit, such as `3.6 m`");
    CHECK(refusal("3 lb") == "U202 2-4 `lb` may be the force or the mass of a pound; write `lbf` for the force or `lbm` for the mass");
    CHECK(refusal("20 degC").substr(0, 8) == "U206 3-7");
    CHECK(refusal("4 meters") == "U201 2-8 `meters` is no unit in the catalogue; write a unit of the catalogue");
    CHECK(refusal("5 /lb").substr(0, 8) == "U202 3-5");
    CHECK(refusal("1 200 mm") == "U205 2-3 a number follows a number; write one number without blanks inside, and its unit behind it");
    CHECK(refusal("14 ft 6") == "U205 7-8 the last part of the value lacks its unit; write the unit of each part, such as `14 ft 6 in`");
    CHECK(refusal("14 ft 6 kg").substr(0, 9) == "U205 8-10");
    CHECK(refusal("6 in 14 ft").substr(0, 9) == "U205 8-10"); // the larger unit stands first
    CHECK(refusal("14 ft 6 ft").substr(0, 9) == "U205 8-10");
    CHECK(refusal("14 ft -6 in").substr(0, 4) == "U203");
    CHECK(refusal("5 1/0 in") == "U205 2-5 a fraction that divides by zero or is too long; write a fraction such as `1/2`");
    CHECK(refusal("1e400 m") == "U207 0-5 a number too large or too small to calculate with; write a number between 1e-300 and 1e300");
    CHECK(refusal("1e-400 m").substr(0, 4) == "U207");
    CHECK(refusal("1e99999999999999999999").substr(0, 4) == "U207");
    CHECK(refusal("1e308 km").substr(0, 4) == "U207");
    CHECK(refusal("3 m 2 %").substr(0, 4) == "U205");
    CHECK(refusal("1.2.3 m").substr(0, 4) == "U203");
    CHECK(refusal("0x10").substr(0, 4) == "U201");
    CHECK(refusal("1_000 m").substr(0, 4) == "U203");
    CHECK(refusal(std::string(2000, '1')).substr(0, 11) == "U205 0-2000");
}

TEST_CASE("a value written is read back to the same double in every unit") {
    std::mt19937_64 random(41);
    std::vector<Unit> all{Unit{}};
    for (const std::string& name : unitNames()) all.push_back(*findUnit(name));
    for (const char* text : {"kN*m", "N/mm^2", "mm^4", "kN/m", "lbf*ft", "in^4", "lbf/ft^3", "1/m", "m^(1/2)", "mm/m", "um", "EUR/m^3", "W/(m^2*K)"})
        all.push_back(readUnit(text).value());
    for (const Unit& unit : all) {
        CAPTURE(unit.ascii);
        for (int i = 0; i < 60; ++i) {
            double x = 0.0;
            if (i % 3 == 0) {
                x = std::bit_cast<double>(random()); // any bits
            } else {
                x = std::ldexp(static_cast<double>(static_cast<std::int64_t>(random())), -static_cast<int>(random() % 80));
            }
            if (!(std::fabs(x) < 1e290) || std::fabs(x) < 1e-290) continue;
            const std::string text = writeValue(x, unit);
            CAPTURE(text);
            const auto back = readValue(text);
            REQUIRE(back.ok());
            REQUIRE(std::bit_cast<std::uint64_t>(back.value().si) == std::bit_cast<std::uint64_t>(x));
            REQUIRE(back.value().unit == unit);
            // In the cell of a grid the unit is left out.
            const auto bare = readValue(std::string_view(text).substr(0, text.find(' ')), &unit);
            REQUIRE(bare.ok());
            REQUIRE(bare.value().si == x);
        }
    }
}

TEST_CASE("written values are as short as they can be") {
    const Unit mm = *findUnit("mm");
    CHECK(writeValue(3.6, mm) == "3600 mm");
    CHECK(writeValue(0.22, mm) == "220 mm");
    CHECK(writeValue(4.4196, *findUnit("ft")) == "14.5 ft");
    CHECK(writeValue(0.25, *findUnit("%")) == "25 %");
    CHECK(writeValue(0.007, *findUnit("%")) == "0.7 %");
    CHECK(writeValue(12e6, readUnit("N/mm^2").value()) == "12 N/mm^2");
    CHECK(writeValue(1.5, Unit{}) == "1.5");
    CHECK(writeValue(0.0, mm) == "0 mm");
    CHECK(writeValue(-0.0, mm) == "0 mm");
    CHECK(writeValue(1.5707963267948966, *findUnit("deg")) == "90 deg");
    CHECK(writeValue(std::nan(""), mm) == "not a number");
}

TEST_CASE("feet and inches for the workshop read back within half a part") {
    std::mt19937 random(17);
    for (int i = 0; i < 5000; ++i) {
        const double x = (static_cast<double>(random() % 4000000) - 2000000.0) / 100000.0;
        const std::string text = showFeetInches(x);
        CAPTURE(text);
        REQUIRE(std::fabs(si(text) - x) <= 0.0254 / 32.0 * (1.0 + 1e-9));
    }
}

TEST_CASE("reading a value never crashes and places its errors inside the text, whatever the bytes") {
    std::mt19937 random(123);
    const std::string marks = "0123456789.,eE+-/ '\"ftinmkN%^*()\xC2\xBD\xE2\x88\x92";
    for (int i = 0; i < 60000; ++i) {
        std::string text;
        for (auto n = random() % 16; n > 0; --n)
            text += i % 3 != 0 ? marks[random() % marks.size()] : static_cast<char>(static_cast<unsigned char>(random() % 256));
        CAPTURE(text);
        const auto value = readValue(text);
        if (value) {
            REQUIRE(std::isfinite(value.value().si));
            continue;
        }
        REQUIRE(value.error().span.begin < value.error().span.end);
        REQUIRE(value.error().span.end <= text.size() + 1);
        REQUIRE_FALSE(value.error().message.empty());
        REQUIRE_FALSE(value.error().mend.empty());
    }
}
