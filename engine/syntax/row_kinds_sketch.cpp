// SPDX-License-Identifier: MIT
#include "engine/base/text.h"
#include "engine/syntax/row_reader.h"

namespace spanwright::syntax {

using diag::Code;

namespace {

constexpr double kMostHeights = 100.0;
constexpr std::size_t kManyPoints = static_cast<std::size_t>(-1);

} // namespace

/// sketch TITLE [heights NUMBER times]
void RowReader::sketch() {
    freeText();
    constexpr std::string_view kWord = "heights ";
    constexpr std::string_view kTimes = " times";
    const std::string_view title = m_parts.rest.text;
    const std::size_t at = title.rfind(kWord);
    if (at == std::string_view::npos || (at > 0 && title[at - 1] != ' ') || title.size() < kTimes.size() ||
        title.substr(title.size() - kTimes.size()) != kTimes || at + kWord.size() > title.size() - kTimes.size())
        return;
    const std::size_t from = at + kWord.size();
    const std::string_view number = base::trimmed(title.substr(from, title.size() - kTimes.size() - from));
    const auto heights = base::readDouble(number);
    const std::uint32_t begin = m_parts.rest.span.begin;
    if (!heights || !(*heights >= 1.0 && *heights <= kMostHeights)) {
        complain(Code::RowIncomplete, {begin + static_cast<std::uint32_t>(at), m_parts.rest.span.end},
                 "heights are drawn from 1 to 100 times larger, not `" + std::string(number) + "` times", "write for instance `heights 4 times`");
        return;
    }
    m_parts.step = *heights;
    m_parts.rest = textSpot(begin, begin + at);
    if (!m_parts.rest.present()) complain(Code::RowIncomplete, m_parts.keyword.span, "this `sketch` has no title", "write its title behind `sketch`");
}

/// A word that says how a mark is drawn, not the name of a value that its first coordinate begins with.
bool RowReader::style(std::string_view wanted) {
    if (!atWord(wanted)) return false;
    const bool bracket = m_tokens.isSymbol(m_at + 1, "(") && !m_tokens.adjoins(m_at + 1);
    const bool sign = m_tokens.isSymbol(m_at + 1, "-") && !m_tokens.adjoins(m_at + 1) && m_tokens.adjoins(m_at + 2);
    if (m_at + 1 < m_tokens.size() && m_tokens.is(m_at + 1, TokenKind::Symbol) && !bracket && !sign) return false;
    m_parts.from = raw(m_at, m_at + 1);
    ++m_at;
    return true;
}

/// X, Y to X, Y ... up to token `end`
void RowReader::points(std::size_t least, std::size_t most, std::size_t end, std::string_view form) {
    std::size_t count = 0;
    for (;;) {
        const std::size_t stop = std::min(find({"to"}), end);
        const std::size_t comma = std::min(find({","}), stop);
        const std::size_t first = m_at;
        if (comma == stop) {
            m_at = std::min(stop, m_tokens.size());
            incomplete(m_at > first ? "a point needs two coordinates, x and y" : "a point is missing here", std::string(form));
            return;
        }
        m_parts.sizes.push_back(formula(comma));
        ++m_at;
        const std::size_t second = std::min(find({","}), stop);
        if (second < stop) {
            m_at = second;
            incomplete("a point has two coordinates; points are joined by `to`", std::string(form));
            return;
        }
        m_parts.sizes.push_back(formula(stop));
        ++count;
        if (!m_parts.complaints.empty()) {
            m_at = m_tokens.size();
            return;
        }
        if (m_at >= end || !atWord("to")) break;
        if (count == most) {
            incomplete("`" + m_parts.keyword.text + "` has " + (most == 1 ? "one point" : std::to_string(most) + " points"), std::string(form));
            return;
        }
        ++m_at;
    }
    if (count >= least) return;
    incomplete("`" + m_parts.keyword.text + "` needs " + std::to_string(least) + (least == most ? "" : " or more") + " points", std::string(form));
}

/// outline, hatch [panel], line [dashed], dimension ... [offset D], support, load, force, label ... "TEXT" | NAME,
/// each with [only if CONDITION]
void RowReader::mark() {
    const std::string& what = m_parts.keyword.text;
    const std::size_t end = find({"only"});
    if (what == "outline") {
        points(3, kManyPoints, end, "write `outline X, Y to X, Y to X, Y`");
    } else if (what == "hatch") {
        static_cast<void>(style("panel"));
        points(3, kManyPoints, end, "write `hatch X, Y to X, Y to X, Y` or `hatch panel X, Y to ...`");
    } else if (what == "line") {
        static_cast<void>(style("dashed"));
        points(2, kManyPoints, end, "write `line X, Y to X, Y` or `line dashed X, Y to X, Y`");
    } else if (what == "dimension") {
        const std::size_t offset = std::min(find({"offset"}), end);
        points(2, 2, offset, "write `dimension X, Y to X, Y` or `dimension X, Y to X, Y offset D`");
        if (atWord("offset")) {
            ++m_at;
            m_parts.count = formula(end);
        }
    } else if (what == "load") {
        points(2, 2, end, "write `load X, Y to X, Y`");
    } else if (what == "support" || what == "force") {
        points(1, 1, end, "write `" + what + " X, Y`");
    } else {
        constexpr std::string_view kForm = "write `label X, Y \"TEXT\"` or `label X, Y NAME`";
        for (std::size_t i = m_at; i + 1 < end; ++i) {
            if (!m_tokens.is(i, TokenKind::Text) || m_tokens.isSymbol(i - 1, "==") || m_tokens.isSymbol(i - 1, "!=")) continue;
            m_at = i + 1;
            return leftOver();
        }
        const bool text = end > m_at && m_tokens.is(end - 1, TokenKind::Text);
        const bool name = end > m_at && m_tokens.is(end - 1, TokenKind::Word);
        const bool field = name && end > m_at + 2 && m_tokens.isSymbol(end - 2, ".") && m_tokens.is(end - 3, TokenKind::Word);
        const std::size_t says = end - (field ? 3 : 1);
        // What stands there has to be more than the y of the point.
        const std::size_t comma = find({","});
        if (!(text || name) || comma + 1 >= says) {
            m_at = std::min(end, m_tokens.size());
            incomplete("a label says nothing", std::string(kForm));
            return;
        }
        points(1, 1, says, kForm);
        if (!m_parts.complaints.empty()) return;
        if (text) {
            m_parts.rest = raw(says, end);
            m_at = end;
        } else {
            m_parts.formula = formula(end);
        }
    }
    if (!m_parts.complaints.empty()) return;
    condition();
    leftOver();
}

} // namespace spanwright::syntax
