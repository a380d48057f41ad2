// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "tests/engine/meaning/sheet_text.h"

using namespace spanwright;
using meaning::ExprKind;
using meaning::Type;

namespace {

const char* kindText(ExprKind k) {
    switch (k) {
    case ExprKind::Constant: return "Constant";
    case ExprKind::Quantity: return "Quantity";
    case ExprKind::External: return "External";
    case ExprKind::Bound: return "Bound";
    case ExprKind::ChoiceField: return "ChoiceField";
    case ExprKind::ChoiceKey: return "ChoiceKey";
    case ExprKind::AxisField: return "AxisField";
    case ExprKind::AxisKey: return "AxisKey";
    case ExprKind::Negate: return "Negate";
    case ExprKind::Not: return "Not";
    case ExprKind::Add: return "Add";
    case ExprKind::Subtract: return "Subtract";
    case ExprKind::Multiply: return "Multiply";
    case ExprKind::Divide: return "Divide";
    case ExprKind::Power: return "Power";
    case ExprKind::Less: return "Less";
    case ExprKind::LessEqual: return "LessEqual";
    case ExprKind::Greater: return "Greater";
    case ExprKind::GreaterEqual: return "GreaterEqual";
    case ExprKind::Equal: return "Equal";
    case ExprKind::NotEqual: return "NotEqual";
    case ExprKind::And: return "And";
    case ExprKind::Or: return "Or";
    case ExprKind::If: return "If";
    case ExprKind::Builtin: return "Builtin";
    case ExprKind::UserCall: return "UserCall";
    case ExprKind::TableField: return "TableField";
    case ExprKind::MatrixField: return "MatrixField";
    case ExprKind::Reduce: return "Reduce";
    case ExprKind::Span: return "Span";
    case ExprKind::BeamValue: return "BeamValue";
    }
    return "?";
}

/// "Divide[kg/s²](Multiply[...](Quantity a, Constant 2), ...)": dimensions of numbers in brackets.
std::string dump(const meaning::Sheet& s, meaning::ExprId id) {
    const meaning::Expr& e = s.exprs.at(id);
    std::string out = kindText(e.kind);
    if (e.type == Type::Number && !e.dimension.isNumber()) out += "[" + e.dimension.text() + "]";
    if (e.type == Type::Truth) out += "?";
    if (e.type == Type::Text) out += "$";
    if (!e.axes.empty()) {
        out += "{";
        for (const auto a : e.axes) out += s.at(a).name;
        out += "}";
    }
    if (e.kind == ExprKind::Quantity || e.kind == ExprKind::ChoiceKey || e.kind == ExprKind::AxisKey) out += " " + s.at(e.quantity).name;
    if (e.kind == ExprKind::Constant || e.kind == ExprKind::Bound) out += " " + e.writtenText;
    if (e.children.empty()) return out;
    out += "(";
    for (std::size_t i = 0; i < e.children.size(); ++i) out += (i == 0 ? "" : ", ") + dump(s, e.children[i]);
    return out + ")";
}

std::string typed(const std::string& rows, const std::string& name) {
    const SheetText s(rows);
    REQUIRE(s.told() == "");
    return dump(*s.sheet, s.at(name).formula);
}

} // namespace

TEST_CASE("operators carry dimensions") {
    const std::string given = "given w [kN/m] = 2 kN/m\ngiven L = 3.6 m\ngiven h = 220 mm\n";
    CHECK(typed(given + "derive M [kN*m] = w*L^2/8", "M") ==
          "Divide[kg·m²/s²](Multiply[kg·m²/s²](Quantity[kg/s²] w, Power[m²](Quantity[m] L, Constant 2)), Constant 8)");
    CHECK(typed(given + "derive k = (150 mm/h)^0.2", "k") == "Power(Divide(Constant[m] 150, Quantity[m] h), Constant 0.2)");
    CHECK(typed(given + "derive c = L > 0 and not h < 2*L", "c") ==
          "And?(Greater?(Quantity[m] L, Constant 0), Not?(Less?(Quantity[m] h, Multiply[m](Constant 2, Quantity[m] L))))");
    CHECK(typed(given + "derive r [m] = sqrt(L*h)", "r") == "Builtin[m](Multiply[m²](Quantity[m] L, Quantity[m] h))");
    CHECK(typed(given + "derive n = number(L, mm)", "n") == "Divide(Quantity[m] L, Constant[m] 1)");
    CHECK(typed(given + "derive i [kN*m^2] = integral(w*x^2, x from 0 m to L)", "i") ==
          "Span[kg·m³/s²](Multiply[kg·m²/s²](Quantity[kg/s²] w, Power[m²](Bound[m] x, Constant 2)), Constant[m] 0, Quantity[m] L)");
    CHECK(typed(given + "derive r2 [mm] = round(L, 5 mm)", "r2") == "Multiply[m](Builtin(Divide(Quantity[m] L, Constant[m] 5)), Constant[m] 5)");
}

TEST_CASE("a power that is a literal is exact") {
    const SheetText s("given h = 8 mm\n"
                      "derive a = (h/(1 mm))^0.2\n"
                      "derive b [mm] = (h^3)^(1/3)\n"
                      "derive c [1/mm^2] = h^-2\n"
                      "given n = 2\n"
                      "derive d = (h/(1 mm))^n\n");
    REQUIRE(s.told() == "");
    const auto power = [&](const char* name) { return s.sheet->exprs.at(s.at(name).formula).power; };
    CHECK(power("a") == units::Rational{1, 5});
    CHECK(power("b") == units::Rational{1, 3});
    CHECK(power("c") == units::Rational{-2, 1});
    CHECK(power("d").den == 0);
}

TEST_CASE("a bare zero fits any dimension, another number does not") {
    CHECK(said("given a [kN] = 3 kN\nderive b [kN] = max(0, a) + 0\nderive c = a > 0\nderive d [kN] = if(c, a, 0)\nderive e [kN] = 0") == "");
    CHECK(said("given a [kN] = 3 kN\nderive c = a > 1") == "M303 a > 1: kN and a pure number cannot be compared | write the unit behind the number: 1 kN");
    CHECK(said("given a [kN] = 3 kN\nderive c = a > 0 m") == "M303 a > 0 m: kN and m cannot be compared");
}

TEST_CASE("literals keep what was written and are SI") {
    const SheetText s("given a = 14 ft 6 in\ngiven b = 1.5 kN/m^2\ngiven c = 25 %\ngiven d = 3m\ngiven e = -2.0 mm\n");
    REQUIRE(s.told() == "");
    const auto constant = [&](const char* name) { return s.sheet->exprs.at(s.at(name).formula); };
    CHECK(constant("a").value == doctest::Approx(4.4196).epsilon(1e-15)); // 174 in * 0.0254 m, exact by NIST SP 811 B.8
    CHECK(constant("a").writtenText == "14 ft 6 in");
    CHECK(constant("b").value == 1500.0);
    CHECK(constant("b").writtenText == "1.5");
    CHECK(constant("b").writtenUnit->shown == "kN/m²");
    CHECK(constant("c").value == 0.25);
    CHECK(constant("d").value == 3.0);
    CHECK(constant("d").writtenText == "3");
    CHECK(s.at("e").unit.ascii == "mm");
}

TEST_CASE("a value is one number, wherever it is written") {
    const SheetText s("given a = 0.7 mm\nderive b [mm] = 0.7 mm\ngiven c [mm] = 0.1 mm from 0.7 to 0.9 mm\ntable t by k\nk, v [mm]\n1, 0.7\nend\n");
    REQUIRE(s.told() == "");
    const double a = s.sheet->exprs.at(s.at("a").formula).value;
    CHECK(s.sheet->exprs.at(s.at("b").formula).value == a);
    CHECK(s.sheet->exprs.at(s.at("c").low).value == a);
    CHECK(s.sheet->tables[0]->cells[1][0] == a);
}

TEST_CASE("a word that is no unit makes a value a formula") {
    const SheetText s("given k = 3\ngiven a [m] = 2 m*k\n");
    REQUIRE(s.told() == "");
    CHECK(s.formula("a") == "(2 m)·k");
}

TEST_CASE("sums of thousands of terms and chains of fractions do not overflow the stack") {
    std::string sum = "given a = 1\nderive s = a";
    for (int i = 0; i < 9000; ++i) sum += "+a";
    const SheetText s(sum + "\n");
    REQUIRE(s.told() == "");
    CHECK(s.formula("s").size() == 9000 * 4 + 1);
}

TEST_CASE("a unit behind a number that is a name here as well is refused") {
    CHECK(said("given L = 2 m\nderive a [m] = 2 L") == "S110 `L` is a name here and a unit as well | write 2*L for the name, or 2 (L) for the unit");
    CHECK(said("given L = 2 m\nderive V [m^3] = 2 (L)") == "");
    CHECK(said("given L_1 = 2 m\nderive a [m] = 2 L_1") == "S110 `L_1` is a name here, and a name never follows a number | write 2*L_1");
    CHECK(said("given m = 2 m\nderive a [m] = 3*m") == "");
}
