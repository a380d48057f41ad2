// SPDX-License-Identifier: MIT
#include "gui/editor/row_style.h"

#include <algorithm>
#include <initializer_list>

namespace spanwright::editor {

using syntax::NodeKind;
using syntax::RowKind;
using syntax::TokenKind;

namespace {

/// Gathers stretches; what came first stands, the rest is cut to what is left.
class Painter {
public:
    explicit Painter(std::size_t size) : m_styles(size, kPlain) {}
    void put(base::ByteSpan span, Style style) {
        for (std::size_t i = span.begin; i < std::min<std::size_t>(span.end, m_styles.size()); ++i)
            if (m_styles[i] == kPlain) m_styles[i] = static_cast<std::uint8_t>(style);
    }
    void put(const syntax::Spot& spot, Style style) {
        if (spot.present()) put(spot.span, style);
    }
    [[nodiscard]] std::vector<Stretch> take() const {
        std::vector<Stretch> out;
        for (std::size_t i = 0; i < m_styles.size();) {
            std::size_t end = i + 1;
            while (end < m_styles.size() && m_styles[end] == m_styles[i]) ++end;
            if (m_styles[i] != kPlain) out.push_back({{static_cast<std::uint32_t>(i), static_cast<std::uint32_t>(end)}, static_cast<Style>(m_styles[i])});
            i = end;
        }
        return out;
    }

private:
    static constexpr std::uint8_t kPlain = 255;
    std::vector<std::uint8_t> m_styles;
};

void paintFormula(Painter& p, const syntax::Formula& f, bool job) {
    for (const syntax::Node& n : f.nodes) {
        switch (n.kind) {
        case NodeKind::Measure: p.put(n.unitSpan, Style::Unit); break;
        case NodeKind::Call: p.put(n.mark, Style::Function); break;
        case NodeKind::Text: p.put(n.span, Style::Text); break;
        case NodeKind::Field:
            if (job) p.put(n.span, Style::Link);
            break;
        case NodeKind::Error: p.put(n.span, Style::Bad); break;
        default: break;
        }
    }
}

/// The words that join a trial, and the values of members that it names.
void paintTrial(Painter& p, const syntax::RowParts& parts) {
    for (std::size_t i = 0; i < parts.clauses.size(); ++i) {
        const syntax::Clause& c = parts.clauses[i];
        p.put(c.word, i == 0 ? Style::Name : Style::Joining);
        const std::vector<syntax::Token> tokens = syntax::tokenize(c.text.text);
        for (std::size_t t = 0; t + 2 < tokens.size(); ++t) {
            if (tokens[t].kind != TokenKind::Word || tokens[t + 1].span.of(c.text.text) != "." || tokens[t + 2].kind != TokenKind::Word) continue;
            const base::ByteSpan named = tokens[t].span.joined(tokens[t + 2].span);
            p.put(base::ByteSpan{named.begin + c.text.span.begin, named.end + c.text.span.begin}, Style::Link);
        }
    }
}

} // namespace

std::vector<Stretch> stretchesOf(const syntax::Row& row, syntax::FileKind kind) {
    Painter p(row.text.size());
    const base::ByteSpan all{0, static_cast<std::uint32_t>(row.text.size())};
    const bool job = kind == syntax::FileKind::Job;
    switch (row.kind) {
    case RowKind::Blank: return {};
    case RowKind::Comment: return {{all, Style::Comment}};
    case RowKind::Unknown: return {{all, Style::Bad}};
    default: break;
    }
    const syntax::RowParts& parts = *row.operator->();
    p.put(parts.keyword, Style::RowWord);
    p.put(parts.what, Style::Words);
    p.put(parts.source, Style::Source);
    const bool words = row.kind == RowKind::Note || row.kind == RowKind::Remark || row.kind == RowKind::Title || row.kind == RowKind::Basis ||
                       row.kind == RowKind::Caution || row.kind == RowKind::Assume || row.kind == RowKind::Author || row.kind == RowKind::Checker ||
                       row.kind == RowKind::Revision || row.kind == RowKind::Date || row.kind == RowKind::Place || row.kind == RowKind::Job;
    p.put(parts.rest, words ? Style::Words : Style::Name);
    p.put(parts.unit, Style::Unit);
    if (row.kind == RowKind::Trial) paintTrial(p, parts);
    if (parts.member.present()) p.put(parts.member.span.joined(parts.name.present() ? parts.name.span : parts.member.span), Style::Link);
    p.put(parts.name, Style::Name);
    p.put(parts.letters, Style::Source);
    for (const auto& parameter : parts.parameters) {
        p.put(parameter.name, Style::Name);
        p.put(parameter.unit, Style::Unit);
    }
    for (const syntax::Formula* f : {&parts.formula, &parts.range, &parts.limits.low, &parts.limits.high, &parts.limits.tolerance, &parts.condition,
                                     &parts.count, &parts.load.size, &parts.load.sizeEnd, &parts.load.from, &parts.load.to, &parts.load.at})
        paintFormula(p, *f, job && row.kind == RowKind::With);
    for (const auto* list : {&parts.supports, &parts.settlements, &parts.stiffness, &parts.sizes})
        for (const syntax::Formula& f : *list) paintFormula(p, f, false);
    // What the tree does not tell of: rows without parts, words between formulas.
    bool first = true;
    for (const syntax::Token& t : syntax::tokenize(row.text)) {
        if (t.kind == TokenKind::Blank || t.kind == TokenKind::LineEnd) continue;
        const std::string_view word = t.span.of(row.text);
        if (t.kind == TokenKind::Word && first && (row.kind == RowKind::End || row.kind == RowKind::Otherwise)) p.put(t.span, Style::RowWord);
        first = false;
        if (t.kind == TokenKind::Text && row.kind != RowKind::TableLine) p.put(t.span, Style::Text);
        if (t.kind == TokenKind::Bad) p.put(t.span, Style::Bad);
        if (t.kind != TokenKind::Word || row.kind == RowKind::TableLine) continue;
        const auto& reserved = syntax::reservedWords();
        if (std::find(reserved.begin(), reserved.end(), word) != reserved.end()) p.put(t.span, Style::Joining);
    }
    return p.take();
}

} // namespace spanwright::editor
