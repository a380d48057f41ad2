// SPDX-License-Identifier: MIT
// Boxes as one line of text. Where two dimensions need no brackets (fractions, exponents), a line does.
#include "engine/meaning/typeset.h"

namespace spanwright::meaning {

namespace {

using BoxKind = Box::Kind;

enum Tight { kList, kLogic, kCompare, kSum, kSign, kProduct, kMeasure, kPower, kAtom };

bool isOp(const Box& b, const char* text) { return b.kind == BoxKind::Operator && b.text == text; }
bool isWord(const Box& b, const char* text) { return b.kind == BoxKind::Word && b.text == text; }
bool isComparison(const Box& b) { return isOp(b, "<") || isOp(b, "≤") || isOp(b, ">") || isOp(b, "≥") || isOp(b, "=") || isOp(b, "≠"); }

Tight tightOf(const Box& box) {
    switch (box.kind) {
    case BoxKind::Fraction: return kProduct;
    case BoxKind::Super: return kPower;
    case BoxKind::Gray: return box.children.empty() ? kAtom : kList;
    case BoxKind::Row: {
        Tight least = kAtom;
        const auto meet = [&least](Tight t) { least = t < least ? t : least; };
        for (std::size_t i = 0; i < box.children.size(); ++i) {
            const Box& b = box.children[i];
            if (isOp(b, ","))
                meet(kList);
            else if (isWord(b, "and") || isWord(b, "or") || isWord(b, "not"))
                meet(kLogic);
            else if (isComparison(b))
                meet(kCompare);
            else if (isOp(b, "−"))
                meet(i == 0 ? kSign : kSum);
            else if (isOp(b, "+"))
                meet(kSum);
            else if (isOp(b, "·"))
                meet(kProduct);
            else if (b.kind == BoxKind::Unit)
                meet(kMeasure);
            else if (b.kind != BoxKind::Operator && b.kind != BoxKind::Word)
                meet(tightOf(b));
        }
        return least;
    }
    default: return kAtom;
    }
}

std::string bracketed(const Box& box, bool needed) { return needed ? "(" + plain(box) + ")" : plain(box); }

bool hasCompoundUnit(const Box& box) {
    if (box.kind == BoxKind::Unit)
        return box.text.find('/') != std::string::npos || box.text.find("·") != std::string::npos || box.text.find('*') != std::string::npos;
    if (box.kind != BoxKind::Row) return false;
    for (const Box& b : box.children) {
        if (hasCompoundUnit(b)) return true;
    }
    return false;
}

std::string row(const std::vector<Box>& children, std::size_t from, std::size_t to) {
    std::string out;
    for (std::size_t i = from; i < to; ++i) {
        const Box& b = children[i];
        if (b.kind == BoxKind::Operator) {
            if (b.text == "−")
                out += i == from || children[i - 1].kind == BoxKind::Operator ? "-" : " - ";
            else if (b.text == "=")
                out += " == ";
            else if (b.text == ",")
                out += ", ";
            else if (b.text == "·" || b.text == ".")
                out += b.text;
            else
                out += " " + b.text + " ";
        } else if (isWord(b, "and") || isWord(b, "or") || isWord(b, "from") || isWord(b, "to")) {
            out += " " + b.text + " ";
        } else if (isWord(b, "not") || isWord(b, "over")) {
            out += b.text + " ";
        } else if (b.kind == BoxKind::Unit) {
            out += " " + b.text;
        } else {
            const bool afterTimes = i > from && isOp(children[i - 1], "·");
            out += bracketed(b, afterTimes && b.kind == BoxKind::Fraction);
        }
    }
    return out;
}

std::string exponent(const Box& box) {
    const Box* one = &box;
    while (one->kind == BoxKind::Row && one->children.size() == 1) one = &one->children.front();
    if (one->kind == BoxKind::Number && one->text == "2") return "²";
    if (one->kind == BoxKind::Number && one->text == "3") return "³";
    const bool simple =
        one->kind == BoxKind::Number || one->kind == BoxKind::Name || one->kind == BoxKind::Sub || one->kind == BoxKind::Word || one->kind == BoxKind::Fence;
    return "^" + bracketed(*one, !simple);
}

std::string big(const Box& box) {
    const Box& below = box.children[0];
    const Box& above = box.children[1];
    const Box& body = box.children[2];
    std::string name = box.text;
    if (name == "max")
        name = "largest";
    else if (name == "min")
        name = "smallest";
    else if (name == "Σ")
        name = "sum";
    else if (name == "arg max")
        name = "where_largest";
    else if (name == "arg min")
        name = "where_smallest";
    if (name != "∫") return name + "(" + plain(body) + ", " + plain(below) + ")";
    // the d and the variable behind the body say what `x from a to b` says again
    const std::size_t size = body.children.size() >= 2 ? body.children.size() - 2 : body.children.size();
    Box inside;
    inside.children.assign(body.children.begin(), body.children.begin() + static_cast<std::ptrdiff_t>(size));
    const bool oneFence = inside.children.size() == 1 && inside.children[0].kind == BoxKind::Fence && inside.children[0].text == "(";
    std::string out = "integral(" + (oneFence ? plain(inside.children[0].children[0]) : plain(inside)) + ", ";
    if (above.children.empty() && above.text.empty()) return out + plain(below) + ")";
    return out + plain(below.children[0]) + " from " + row(below.children, 2, below.children.size()) + " to " + plain(above) + ")";
}

std::string cases(const Box& box) {
    std::string out;
    std::string close;
    for (std::size_t i = 0; i + 1 < box.children.size(); i += 2) {
        const bool last = i + 2 >= box.children.size();
        if (last) {
            out += plain(box.children[i]);
        } else {
            out += "if(" + plain(box.children[i + 1]) + ", " + plain(box.children[i]) + ", ";
            close += ')';
        }
    }
    return out + close;
}

} // namespace

std::string plain(const Box& box) {
    switch (box.kind) {
    case BoxKind::Row: return row(box.children, 0, box.children.size());
    case BoxKind::Name:
    case BoxKind::Number:
    case BoxKind::Unit:
    case BoxKind::Word: return box.text;
    case BoxKind::Operator: return box.text == "−" ? "-" : box.text;
    case BoxKind::Sub: {
        std::string below = plain(box.children[1]);
        for (char& c : below) {
            if (c == ',') c = '_';
        }
        return plain(box.children[0]) + "_" + below;
    }
    case BoxKind::Super: return bracketed(box.children[0], tightOf(box.children[0]) < kAtom) + exponent(box.children[1]);
    case BoxKind::Fraction: {
        const Box& above = box.children[0];
        const Box& below = box.children[1];
        return bracketed(above, tightOf(above) < kSign || (tightOf(above) == kMeasure && hasCompoundUnit(above))) + "/" +
               bracketed(below, tightOf(below) < kPower);
    }
    case BoxKind::Root: return (box.children.size() > 1 ? "cbrt(" : "sqrt(") + plain(box.children[0]) + ")";
    case BoxKind::Fence: {
        const std::string inside = plain(box.children[0]);
        if (box.text == "|") return inside.find('|') == std::string::npos ? "|" + inside + "|" : "abs(" + inside + ")";
        return "(" + inside + ")";
    }
    case BoxKind::Cases: return cases(box);
    case BoxKind::Big: return big(box);
    case BoxKind::Gray: return "not taken: " + plain(box.children[0]);
    }
    return {};
}

} // namespace spanwright::meaning
