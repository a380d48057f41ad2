// SPDX-License-Identifier: MIT
#include "engine/syntax/lines.h"

#include <algorithm>

#include "engine/syntax/letters.h"

namespace spanwright::syntax {

namespace {

[[nodiscard]] std::string_view withoutLineEnd(std::string_view line) {
    if (!line.empty() && line.back() == '\n') line.remove_suffix(1);
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    return line;
}

[[nodiscard]] std::size_t skipBlanks(std::string_view text, std::size_t at) {
    while (at < text.size() && isBlank(text[at])) ++at;
    return at;
}

[[nodiscard]] std::size_t wordEnd(std::string_view text, std::size_t at) {
    while (at < text.size()) {
        const char c = text[at];
        if ((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || isDigit(c) || c == '_') {
            ++at;
            continue;
        }
        if (static_cast<unsigned char>(c) < 0x80) break;
        const Glyph g = glyphAt(text, at);
        if (!g.valid || !isLetter(g.point)) break;
        at += g.length;
    }
    return at;
}

[[nodiscard]] bool isCutAt(std::string_view text, std::size_t at) {
    const auto edge = [&](std::size_t i) { return i >= text.size() || isBlank(text[i]) || text[i] == '\n' || text[i] == '\r'; };
    return text.substr(at, 2) == "--" && (at == 0 || edge(at - 1)) && edge(at + 2);
}

/// Brackets open at the end of a line, given those open at its start. A cut closes the matter.
struct Brackets {
    int depth = 0;
    bool cut = false;

    void scan(std::string_view line) {
        for (std::size_t i = 0; i < line.size() && !cut; ++i) {
            const char c = line[i];
            if (c == '"') {
                const std::size_t close = line.find('"', i + 1);
                if (close == std::string_view::npos) return;
                i = close;
            } else if (c == '(' || c == '[') {
                ++depth;
            } else if ((c == ')' || c == ']') && depth > 0) {
                --depth;
            } else if (c == '-' && isCutAt(line, i)) {
                cut = true;
            }
        }
    }
};

} // namespace

bool isConflictMark(std::string_view line) {
    if (line.size() < 7) return false;
    const char c = line[0];
    if (c != '<' && c != '>' && c != '=' && c != '|') return false;
    if (line.find_first_not_of(c) < 7) return false;
    return line.size() == 7 || isBlank(line[7]) || line[7] == '\n' || line[7] == '\r';
}

std::size_t findCut(std::string_view text, std::size_t from) {
    for (std::size_t i = text.find("--", from); i != std::string_view::npos; i = text.find("--", i + 1)) {
        if (isCutAt(text, i)) return i;
    }
    return text.size();
}

std::string_view LineGrouper::lineAt(std::size_t at) const {
    const std::size_t end = m_text.find('\n', at);
    return m_text.substr(at, end == std::string_view::npos ? end : end + 1 - at);
}

/// A line that can only be a row of its own: a row's word, then something that no formula would put
/// behind a name.
bool LineGrouper::beginsRow(std::string_view raw) const {
    const std::string_view line = withoutLineEnd(raw);
    const std::size_t start = skipBlanks(line, 0);
    const std::size_t stop = wordEnd(line, start);
    const KindInfo* info = kindOf(line.substr(start, stop - start));
    const bool mark = m_block == Block::Sketch && isMarkWord(line.substr(start, stop - start));
    if (!mark && (info == nullptr || !(m_file == FileKind::Job ? info->inJob : info->inSheet))) return false;
    const std::size_t next = skipBlanks(line, stop);
    if (!mark && (info->kind == RowKind::End || info->kind == RowKind::Otherwise)) return next == line.size();
    if (next == stop || next == line.size()) return false;
    if (isDigit(line[next]) || line[next] == '"') return true;
    const std::string_view word = line.substr(next, wordEnd(line, next) - next);
    static constexpr std::string_view kJoining[] = {"and", "or", "from", "to", "over", "by", "as"};
    return !word.empty() && std::find(std::begin(kJoining), std::end(kJoining), word) == std::end(kJoining);
}

/// In a table the line's shape has to speak against a line of fields as well.
bool LineGrouper::endsTable(std::string_view line) const {
    return beginsRow(line) && (line.find(',') == std::string_view::npos || line.find_first_of("=:") != std::string_view::npos);
}

bool LineGrouper::next(Chunk& chunk) {
    if (m_at >= m_text.size()) return false;
    const std::string_view line = lineAt(m_at);
    chunk = Chunk{line, 1, RowKind::Unknown, {}, false, false};
    m_at += line.size();

    const std::string_view bare = withoutLineEnd(line);
    const std::size_t start = skipBlanks(bare, 0);
    if (start == bare.size()) {
        chunk.kind = RowKind::Blank;
        return true;
    }
    if (bare[start] == '#') {
        chunk.kind = RowKind::Comment;
        return true;
    }
    if (isConflictMark(line)) return true;

    const std::size_t stop = wordEnd(bare, start);
    const std::string_view word = bare.substr(start, stop - start);
    if (m_block == Block::Sketch && isMarkWord(word)) {
        chunk.kind = RowKind::Mark;
        chunk.keyword = word;
        extend(chunk, start);
        return true;
    }
    if (m_block == Block::Table) {
        const bool end = word == "end" && skipBlanks(bare, stop) == bare.size();
        if (!end && !endsTable(bare)) {
            chunk.kind = RowKind::TableLine;
            return true;
        }
        m_block = Block::None;
    }
    const KindInfo* info = kindOf(word);
    if (info != nullptr && (m_file == FileKind::Job ? info->inJob : info->inSheet)) {
        chunk.kind = info->kind;
        chunk.keyword = word;
    }
    if (m_block == Block::Beam) {
        const bool inside = chunk.kind == RowKind::Stiffness || chunk.kind == RowKind::Support || chunk.kind == RowKind::Load || chunk.kind == RowKind::Note ||
                            chunk.kind == RowKind::Unknown;
        if (!inside) m_block = Block::None;
    }
    if (m_block == Block::Sketch) {
        chunk.inSketch = chunk.kind == RowKind::Unknown;
        if (!chunk.inSketch && chunk.kind != RowKind::Note) m_block = Block::None;
    }
    const Block opened = opens(chunk.kind);
    if (opened != Block::None) m_block = opened;
    if (info == nullptr || !info->freeText) extend(chunk, start);
    return true;
}

/// Takes in the lines that an open bracket continues the row over.
void LineGrouper::extend(Chunk& chunk, std::size_t contentFrom) {
    std::string_view content = withoutLineEnd(chunk.text).substr(contentFrom);
    if (chunk.kind == RowKind::Part) { // a part's title is free text
        const std::size_t condition = content.find(" only if ");
        if (condition == std::string_view::npos) return;
        content.remove_prefix(condition);
    }
    if (content.find_first_of("([") == std::string_view::npos) return;
    Brackets brackets;
    brackets.scan(content);
    if (brackets.depth == 0) return;
    if (brackets.cut) {
        chunk.unclosed = true;
        return;
    }
    const auto begin = static_cast<std::size_t>(chunk.text.data() - m_text.data());
    std::size_t kept = m_at; // behind the last line that holds something
    std::uint32_t lines = 1;
    std::uint32_t keptLines = 1;
    std::size_t at = m_at;
    while (at < m_text.size() && brackets.depth > 0 && !brackets.cut) {
        const std::string_view line = lineAt(at);
        const std::string_view bare = withoutLineEnd(line);
        const std::size_t first = skipBlanks(bare, 0);
        const bool empty = first == bare.size() || bare[first] == '#';
        if (!empty && (beginsRow(line) || isConflictMark(line))) break;
        if (!empty) brackets.scan(bare);
        at += line.size();
        ++lines;
        if (!empty) {
            kept = at;
            keptLines = lines;
        }
    }
    chunk.unclosed = brackets.depth > 0;
    chunk.text = m_text.substr(begin, kept - begin);
    chunk.lines = keptLines;
    m_at = kept;
}

} // namespace spanwright::syntax
