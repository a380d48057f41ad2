// SPDX-License-Identifier: MIT
#include "gui/paper/formula_pieces.h"

#include <utility>

#include "gui/ink/box_layout.h"

namespace spanwright::paper {

namespace {

using meaning::Box;
using Kind = meaning::Box::Kind;

class Cutter {
public:
    Cutter(const QFont& font, qreal widest) : m_font(font), m_widest(widest) {}

    void put(const Box& box) {
        if (box.children.empty() || ink::BoxLayout(box, m_font).size().width() <= m_widest) {
            add(box);
            return;
        }
        switch (box.kind) {
        case Kind::Row: row(box.children); break;
        case Kind::Fence:
            mark(box.text);
            put(box.children[0]);
            mark(box.text == "|" ? "|" : ")");
            break;
        case Kind::Fraction:
            bracketed(box.children[0]);
            mark("/");
            blank();
            bracketed(box.children[1]);
            break;
        case Kind::Root:
            word(box.children.size() > 1 ? "cbrt" : "sqrt");
            mark("(");
            put(box.children[0]);
            mark(")");
            break;
        case Kind::Super: power(box); break;
        case Kind::Cases: cases(box.children); break;
        case Kind::Big: big(box); break;
        case Kind::Gray:
            word("not taken:");
            blank();
            put(box.children[0]);
            break;
        default: add(box);
        }
    }

    report::Inlines take() { return std::move(m_out); }

private:
    const QFont& m_font;
    qreal m_widest;
    report::Inlines m_out;

    void add(Box box) { m_out.push_back(report::mathText(std::move(box))); }
    void mark(const std::string& text) { add({Kind::Operator, text, {}}); }
    void word(const std::string& text) { add({Kind::Word, text, {}}); }
    void blank() { m_out.push_back(report::plainText(" ")); }
    void comma() {
        mark(",");
        blank();
    }

    static bool isWord(const Box& b, std::initializer_list<const char*> words) {
        if (b.kind != Kind::Word) return false;
        for (const char* w : words)
            if (b.text == w) return true;
        return false;
    }

    void row(const std::vector<Box>& children) {
        for (std::size_t i = 0; i < children.size(); ++i) {
            const Box& b = children[i];
            const bool signs = b.kind == Kind::Operator && b.text == "−" && (i == 0 || children[i - 1].kind == Kind::Operator);
            if (b.kind == Kind::Operator && b.text == ",")
                comma();
            else if (b.kind == Kind::Operator && b.text != "." && !signs) {
                blank();
                add(b);
                blank();
            } else if (isWord(b, {"and", "or", "from", "to"})) {
                blank();
                add(b);
                blank();
            } else if (isWord(b, {"not", "over"})) {
                add(b);
                blank();
            } else if (i + 1 < children.size() && children[i + 1].kind == Kind::Unit) {
                // A number keeps its unit.
                add({Kind::Row, {}, {b, children[i + 1]}});
                ++i;
            } else
                put(b);
        }
    }

    void bracketed(const Box& box) {
        const bool needs = box.kind == Kind::Row && box.children.size() > 1;
        if (needs) mark("(");
        put(box);
        if (needs) mark(")");
    }

    void power(const Box& box) {
        const Box& base = box.children[0];
        mark(base.kind == Kind::Fence ? base.text : "(");
        put(base.kind == Kind::Fence ? base.children[0] : base);
        const Box close{Kind::Operator, base.kind == Kind::Fence && base.text == "|" ? "|" : ")", {}};
        add({Kind::Super, {}, {close, box.children[1]}});
    }

    /// value, condition, value, condition ...
    void cases(const std::vector<Box>& children) {
        std::size_t open = 0;
        for (std::size_t i = 0; i + 1 < children.size(); i += 2) {
            if (i + 2 >= children.size()) {
                put(children[i]);
                break;
            }
            word("if");
            mark("(");
            put(children[i + 1]);
            comma();
            put(children[i]);
            comma();
            ++open;
        }
        for (; open > 0; --open) mark(")");
    }

    void big(const Box& box) {
        if (box.text == "∫") {
            m_out.push_back(report::plainText(meaning::plain(box)));
            return;
        }
        // As sheets name it: largest(..., x from a to b).
        static constexpr std::pair<const char*, const char*> kNames[] = {
            {"max", "largest"}, {"min", "smallest"}, {"Σ", "sum"}, {"arg max", "where_largest"}, {"arg min", "where_smallest"}};
        std::string name = box.text;
        for (const auto& [set, typed] : kNames)
            if (box.text == set) name = typed;
        word(name);
        mark("(");
        put(box.children[2]);
        comma();
        put(box.children[0]);
        mark(")");
    }
};

} // namespace

report::Inlines formulaPieces(const Box& box, const QFont& font, qreal widest) {
    Cutter cutter(font, widest);
    cutter.put(box);
    return cutter.take();
}

} // namespace spanwright::paper
