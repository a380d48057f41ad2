// SPDX-License-Identifier: MIT
#include <array>
#include <utility>

#include "engine/meaning/typeset.h"

namespace spanwright::meaning {

namespace {

constexpr std::array<std::pair<std::string_view, std::string_view>, 48> kGreek = {{
    {"alpha", "α"}, {"beta", "β"},  {"gamma", "γ"},  {"delta", "δ"},   {"epsilon", "ε"}, {"zeta", "ζ"}, {"eta", "η"},     {"theta", "θ"},
    {"iota", "ι"},  {"kappa", "κ"}, {"lambda", "λ"}, {"mu", "μ"},      {"nu", "ν"},      {"xi", "ξ"},   {"omicron", "ο"}, {"pi", "π"},
    {"rho", "ρ"},   {"sigma", "σ"}, {"tau", "τ"},    {"upsilon", "υ"}, {"phi", "φ"},     {"chi", "χ"},  {"psi", "ψ"},     {"omega", "ω"},
    {"Alpha", "Α"}, {"Beta", "Β"},  {"Gamma", "Γ"},  {"Delta", "Δ"},   {"Epsilon", "Ε"}, {"Zeta", "Ζ"}, {"Eta", "Η"},     {"Theta", "Θ"},
    {"Iota", "Ι"},  {"Kappa", "Κ"}, {"Lambda", "Λ"}, {"Mu", "Μ"},      {"Nu", "Ν"},      {"Xi", "Ξ"},   {"Omicron", "Ο"}, {"Pi", "Π"},
    {"Rho", "Ρ"},   {"Sigma", "Σ"}, {"Tau", "Τ"},    {"Upsilon", "Υ"}, {"Phi", "Φ"},     {"Chi", "Χ"},  {"Psi", "Ψ"},     {"Omega", "Ω"},
}};

std::string_view greek(std::string_view word) {
    for (const auto& [name, letter] : kGreek) {
        if (name == word) return letter;
    }
    return {};
}

Box leaf(Box::Kind kind, std::string_view text) {
    Box b;
    b.kind = kind;
    b.text = text;
    return b;
}

bool isDigits(std::string_view text) { return text.find_first_not_of("0123456789") == std::string_view::npos; }

/// One letter (with figures behind it, as in x1) is a symbol; a longer word stays a word.
Box letterOrWord(std::string_view part) {
    if (const auto letter = greek(part); !letter.empty()) return leaf(Box::Kind::Name, letter);
    const bool symbol = !part.empty() && isDigits(part.substr(1));
    return leaf(symbol ? Box::Kind::Name : Box::Kind::Word, part);
}

} // namespace

Box typesetName(std::string_view canonical) {
    if (const std::size_t dot = canonical.find('.'); dot != std::string_view::npos) {
        Box row;
        row.children.push_back(typesetName(canonical.substr(0, dot)));
        row.children.push_back(leaf(Box::Kind::Operator, "."));
        row.children.push_back(typesetName(canonical.substr(dot + 1)));
        return row;
    }
    const std::size_t bar = canonical.find('_');
    if (bar == 0 || bar == std::string_view::npos || bar + 1 == canonical.size()) return letterOrWord(canonical);
    std::string below;
    std::string_view rest = canonical.substr(bar + 1);
    while (!rest.empty()) {
        const std::size_t end = std::min(rest.find('_'), rest.size());
        const std::string_view part = rest.substr(0, end);
        if (!below.empty()) below += ',';
        const auto letter = greek(part);
        below += letter.empty() ? part : letter;
        rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    Box sub;
    sub.kind = Box::Kind::Sub;
    sub.children.push_back(letterOrWord(canonical.substr(0, bar)));
    sub.children.push_back(leaf(Box::Kind::Word, below));
    return sub;
}

} // namespace spanwright::meaning
