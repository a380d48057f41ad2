// SPDX-License-Identifier: MIT
#include "engine/report/document.h"

#include <algorithm>

namespace spanwright::report {

namespace {
Inline made(Inline::Kind kind, std::string text) {
    Inline i;
    i.kind = kind;
    i.text = std::move(text);
    return i;
}
} // namespace

std::string_view stampText(Stamp s) {
    switch (s) {
    case Stamp::Ok: return "OK";
    case Stamp::NotProven: return "NOT PROVEN";
    case Stamp::Fails: return "FAILS";
    case Stamp::NotComputed: return "NOT COMPUTED";
    case Stamp::NotApplicable: return "not applicable";
    }
    return "NOT COMPUTED";
}

Inline plainText(std::string text) { return made(Inline::Kind::Text, std::move(text)); }
Inline strongText(std::string text) { return made(Inline::Kind::Strong, std::move(text)); }
Inline faintText(std::string text) { return made(Inline::Kind::Faint, std::move(text)); }
Inline codeText(std::string text) { return made(Inline::Kind::Code, std::move(text)); }

Inline mathText(meaning::Box box) {
    Inline i;
    i.kind = Inline::Kind::Math;
    i.math = std::move(box);
    return i;
}

Inline boxedWord(Stamp s) {
    Inline i;
    i.kind = Inline::Kind::Boxed;
    i.stamp = s;
    return i;
}

Inline linkTo(std::string target, std::string text) {
    Inline i = made(Inline::Kind::Link, std::move(text));
    i.target = std::move(target);
    return i;
}

Inline nameText(std::string_view canonical) { return mathText(meaning::typesetName(canonical)); }

Inline nameLink(std::string target, std::string_view canonical) {
    Inline out = nameText(canonical);
    out.target = std::move(target);
    return out;
}

Inlines headOf(const Table::Column& column) {
    if (!column.named) return {plainText(column.head)};
    const std::size_t unit = std::min(column.head.find(" ["), column.head.size());
    Inlines out{nameText(column.head.substr(0, unit))};
    if (unit < column.head.size()) out.push_back(plainText(column.head.substr(unit)));
    return out;
}

std::string wordsOf(const Inlines& line) {
    std::string out;
    for (const Inline& i : line) {
        if (i.kind == Inline::Kind::Math)
            out += meaning::plain(i.math);
        else if (i.kind == Inline::Kind::Boxed)
            out.append("[ ").append(stampText(i.stamp)).append(" ]");
        else
            out += i.text;
    }
    return out;
}

} // namespace spanwright::report
