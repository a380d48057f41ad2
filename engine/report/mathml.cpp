// SPDX-License-Identifier: MIT
#include <utility>

#include "engine/report/clean.h"
#include "engine/report/write.h"

namespace spanwright::report {

namespace {

using meaning::Box;

std::string element(const char* name, const std::string& inside) { return std::string("<") + name + ">" + inside + "</" + name + ">"; }

void put(const Box& box, std::string& out);

/// Words that join, such as "or", do not touch what they join.
std::string operatorOf(const std::string& text, const std::string& form) {
    const bool word = !text.empty() && text.front() >= 'a' && text.front() <= 'z';
    return "<mo" + form + (word ? " lspace=\"0.35em\" rspace=\"0.35em\"" : "") + ">" + htmlText(text) + "</mo>";
}

/// Words of a range stand apart from what they join: browsers drop blanks at the ends.
std::string wordOf(const std::string& text) {
    if (text == "from" || text == "to") return "\u00a0" + text + "\u00a0";
    return htmlText(text) + (text == "over" ? "\u00a0" : "");
}

std::string rowOf(const Box& box) {
    std::string inside;
    put(box, inside);
    return element("mrow", inside);
}

/// The n-th child as one element; an empty row where there is none (MathML counts its children).
std::string child(const Box& box, std::size_t n) { return n < box.children.size() ? rowOf(box.children[n]) : "<mrow></mrow>"; }

std::string children(const Box& box) {
    std::string inside;
    for (const Box& c : box.children) put(c, inside);
    return inside;
}

void putCases(const Box& box, std::string& out) {
    out += "<mrow><mo>{</mo><mtable>";
    for (std::size_t i = 0; i < box.children.size(); i += 2) {
        out += "<mtr>" + element("mtd", child(box, i));
        if (i + 1 < box.children.size()) out += element("mtd", child(box, i + 1));
        out += "</mtr>";
    }
    out += "</mtable></mrow>";
}

void putFence(const Box& box, std::string& out) {
    const std::string open = box.text.empty() ? "(" : box.text;
    const std::string close = open == "(" ? ")" : open == "[" ? "]" : open == "{" ? "}" : open == "⌊" ? "⌋" : open == "⌈" ? "⌉" : open;
    out += "<mrow><mo>" + htmlText(open) + "</mo>" + children(box) + "<mo>" + htmlText(close) + "</mo></mrow>";
}

void putBig(const Box& box, std::string& out) {
    const std::string sign = "<mo>" + htmlText(box.text) + "</mo>";
    out += "<mrow>" + element("munderover", sign + child(box, 0) + child(box, 1));
    for (std::size_t i = 2; i < box.children.size(); ++i) put(box.children[i], out);
    out += "</mrow>";
}

void put(const Box& box, std::string& out) {
    switch (box.kind) {
    case Box::Kind::Row: out += children(box); return;
    case Box::Kind::Name: out += element("mi", htmlText(box.text)); return;
    case Box::Kind::Number: out += element("mn", htmlText(figuresPrinted(box.text))); return;
    // A thin space keeps number and unit apart (SI Brochure, 5.4.3).
    case Box::Kind::Unit: out += "<mspace width=\"0.17em\"></mspace><mi mathvariant=\"normal\">" + htmlText(box.text) + "</mi>"; return;
    case Box::Kind::Operator: out += operatorOf(box.text, ""); return;
    case Box::Kind::Word: out += element("mtext", wordOf(box.text)); return;
    case Box::Kind::Sub: out += element("msub", child(box, 0) + child(box, 1)); return;
    case Box::Kind::Super: out += element("msup", child(box, 0) + child(box, 1)); return;
    case Box::Kind::Fraction: out += element("mfrac", child(box, 0) + child(box, 1)); return;
    case Box::Kind::Root: out += box.children.size() > 1 ? element("mroot", child(box, 0) + child(box, 1)) : element("msqrt", child(box, 0)); return;
    case Box::Kind::Fence: putFence(box, out); return;
    case Box::Kind::Cases: putCases(box, out); return;
    case Box::Kind::Big: putBig(box, out); return;
    case Box::Kind::Gray: out += "<mrow class=\"gray\">" + children(box) + "</mrow>"; return;
    }
}

constexpr const char* kOpen = "<math xmlns=\"http://www.w3.org/1998/Math/MathML\" displaystyle=\"true\"";

bool breaksBefore(const Box& b) {
    return b.kind == Box::Kind::Operator && (b.text == "+" || b.text == "−" || b.text == "-" || b.text == "and" || b.text == "or");
}

} // namespace

std::string writeMathml(const Box& box, bool display) { return std::string(kOpen) + (display ? " display=\"block\"" : "") + ">" + rowOf(box) + "</math>"; }

namespace {

/// Puts a formula into pieces between which a line may end.
class Pieces {
public:
    explicit Pieces(std::size_t longest) : m_longest(longest) {}

    std::vector<std::string> of(const Box& row) {
        inside(row.children);
        flush();
        return std::move(m_out);
    }

private:
    std::size_t m_longest;
    std::vector<std::string> m_out;
    std::string m_piece;

    void flush() {
        if (!m_piece.empty()) m_out.push_back(std::string(kOpen) + "><mrow>" + std::exchange(m_piece, {}) + "</mrow></math>");
    }
    void inside(const std::vector<Box>& list) {
        for (std::size_t i = 0; i < list.size(); ++i) {
            const Box& c = list[i];
            if (i > 0 && breaksBefore(c)) {
                flush();
                // First in its row an operator would be set as a sign.
                m_piece += operatorOf(c.text, " form=\"infix\"");
            } else if (c.kind == Box::Kind::Operator && c.text == ",") {
                m_piece += operatorOf(c.text, " form=\"postfix\"");
                flush();
            } else if (opens(c)) {
                // Brackets of several pieces do not grow with what is in them.
                m_piece += "<mo form=\"prefix\" stretchy=\"false\">(</mo>";
                inside(c.children.size() == 1 && c.children[0].kind == Box::Kind::Row ? c.children[0].children : c.children);
                m_piece += "<mo form=\"postfix\" stretchy=\"false\">)</mo>";
            } else if (c.kind == Box::Kind::Row && textWidth(meaning::plain(c)) > m_longest)
                inside(c.children);
            else
                put(c, m_piece);
        }
    }
    /// What is called with more than a line takes is broken between its arguments.
    [[nodiscard]] bool opens(const Box& c) const {
        return c.kind == Box::Kind::Fence && (c.text.empty() || c.text == "(") && textWidth(meaning::plain(c)) > m_longest;
    }
};

} // namespace

std::vector<std::string> writeMathmlPieces(const Box& box, std::size_t longest) {
    if (box.kind != Box::Kind::Row || textWidth(meaning::plain(box)) <= longest) return {writeMathml(box, false)};
    return Pieces(longest).of(box);
}

} // namespace spanwright::report
