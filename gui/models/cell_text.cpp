// SPDX-License-Identifier: MIT
#include "gui/models/cell_text.h"

#include "engine/base/text.h"
#include "engine/syntax/formula.h"
#include "engine/units/unit.h"

namespace spanwright::models {

namespace {

bool isNumber(const meaning::Quantity& q) {
    return q.type == meaning::Type::Number && (q.kind == meaning::Kind::Ask || q.kind == meaning::Kind::Given || q.kind == meaning::Kind::Derive);
}

/// Any name in a formula that is not a function's: something that it reads.
bool readsNames(const syntax::Formula& f) {
    for (const syntax::Node& n : f.nodes)
        if (n.kind == syntax::NodeKind::Name || n.kind == syntax::NodeKind::Field) return true;
    return false;
}

} // namespace

std::string writtenFor(const meaning::Quantity& q, std::string_view typed) {
    const std::string text(base::trimmed(typed));
    if (!isNumber(q)) return text;
    const bool comma = text.find(',') != std::string::npos;
    if (const auto bare = units::readValue(text); bare && bare.value().unit.shown.empty()) {
        // A bare number. Without a unit to take it stays one.
        std::string number = text;
        if (comma) number = units::writeValue(bare.value().si, units::Unit{});
        if (q.unit.ascii.empty()) return number;
        return number + " " + q.unit.ascii;
    }
    if (comma)
        if (const auto value = units::readValue(text, &q.unit)) return units::writeValue(value.value().si, value.value().unit);
    return text;
}

std::string withoutUnit(std::string_view shown, std::string_view unit) {
    if (unit.empty() || shown.size() <= unit.size() || shown.substr(shown.size() - unit.size()) != unit) return std::string(shown);
    const std::string_view number = base::trimmed(shown.substr(0, shown.size() - unit.size()));
    return base::readDouble(number) ? std::string(number) : std::string(shown);
}

bool isLink(const meaning::Quantity& q, std::string_view statedText) {
    if (!isNumber(q) || statedText.empty()) return false;
    if (units::readValue(statedText, &q.unit)) return false;
    std::vector<syntax::Complaint> complaints;
    return readsNames(syntax::readValueOrFormula(statedText, complaints));
}

} // namespace spanwright::models
