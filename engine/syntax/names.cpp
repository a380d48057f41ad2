// SPDX-License-Identifier: MIT
#include "engine/syntax/formula.h"
#include "engine/syntax/letters.h"

#include <algorithm>

namespace spanwright::syntax {

std::string canonicalName(std::string_view name) {
    const auto ascii = [](char c) { return static_cast<unsigned char>(c) < 0x80; };
    if (std::all_of(name.begin(), name.end(), ascii)) return std::string(name);
    std::string out;
    out.reserve(name.size());
    for (std::size_t at = 0; at < name.size();) {
        const Glyph g = glyphAt(name, at);
        const std::string_view spelled = g.valid ? greekSpelling(g.point) : std::string_view{};
        out.append(spelled.empty() ? name.substr(at, g.length) : spelled);
        at += g.length;
    }
    return out;
}

bool isName(std::string_view text) {
    if (text.empty()) return false;
    for (std::size_t at = 0; at < text.size();) {
        const Glyph g = glyphAt(text, at);
        const bool inner = at > 0 && (isDigit(text[at]) || text[at] == '_');
        if (!g.valid || !(isLetter(g.point) || inner)) return false;
        at += g.length;
    }
    const auto& words = reservedWords();
    return std::find(words.begin(), words.end(), text) == words.end();
}

const std::vector<std::string>& reservedWords() {
    static const std::vector<std::string> words = {"if", "and",  "or",        "not",  "from",  "to", "by",   "over", "as",
                                                   "in", "only", "otherwise", "each", "sinks", "at", "true", "false"};
    return words;
}

} // namespace spanwright::syntax
