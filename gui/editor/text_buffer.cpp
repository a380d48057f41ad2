// SPDX-License-Identifier: MIT
#include "gui/editor/text_buffer.h"

#include <algorithm>

#include "gui/models/text.h"
#include "gui/models/text_delta.h"

namespace spanwright::editor {

namespace {

constexpr std::string_view kBom = "\xEF\xBB\xBF";
/// A carriage return that ends no line.
constexpr char16_t kReturn = 0x240D;

std::size_t bomOf(std::string_view bytes) { return bytes.substr(0, kBom.size()) == kBom ? kBom.size() : 0; }

/// How many bytes the character at `at` takes, and what is shown of it: a QTextDocument would make something else of
/// some. Nothing is shown of the return before a line feed.
struct Glyph {
    std::size_t bytes = 1;
    int units = 1;
};
Glyph glyphAt(std::string_view text, std::size_t at) {
    const auto c = static_cast<unsigned char>(text[at]);
    if (c < 0x80) {
        if (c == '\r' && at + 1 < text.size() && text[at + 1] == '\n') return {1, 0};
        return {1, 1};
    }
    const std::size_t length = c >= 0xF0 ? 4 : c >= 0xE0 ? 3 : 2;
    return {std::min(length, text.size() - at), c >= 0xF0 ? 2 : 1};
}

/// The characters that a QTextDocument keeps for itself.
bool isKept(QChar c) { return c.unicode() == 0x2029 || c.unicode() == 0xFDD0 || c.unicode() == 0xFDD1 || c.unicode() == 0xFFFC || c.unicode() == 0; }

QString shownOf(std::string_view bytes) {
    // Behind a mark of its own, so that one in the text is no mark of the conversion's.
    QString text = QString::fromUtf8(bytes.data(), static_cast<qsizetype>(bytes.size()));
    if (bytes.substr(0, kBom.size()) == kBom) text.prepend(QChar(0xFEFF));
    text.replace(QStringLiteral("\r\n"), QStringLiteral("\n"));
    for (QChar& c : text) {
        if (c == QLatin1Char('\r')) c = QChar(kReturn);
        if (isKept(c) || c.unicode() == 0x2028) c = QChar(0xFFFD);
    }
    return text;
}

} // namespace

void TextBuffer::load(std::string file, syntax::FileKind kind, std::string bytes) {
    m_file = std::move(file);
    m_kind = kind;
    m_bytes = std::move(bytes);
    m_shown = shownOf(std::string_view(m_bytes).substr(bomOf(m_bytes)));
    m_document = syntax::Document::read(m_file, m_kind, m_bytes);
    m_placed = false;
}

std::size_t TextBuffer::byteAt(qsizetype shown, std::size_t from, qsizetype shownFrom) const {
    std::size_t at = std::max(from, bomOf(m_bytes));
    qsizetype units = shownFrom;
    while (at < m_bytes.size() && units < shown) {
        const Glyph g = glyphAt(m_bytes, at);
        at += g.bytes;
        units += g.units;
    }
    return at;
}

std::string TextBuffer::written(const QString& shown) const {
    std::string text = models::toUtf8(shown);
    const std::size_t feed = m_bytes.find('\n');
    if (feed == std::string::npos || feed == 0 || m_bytes[feed - 1] != '\r') return text;
    std::string out;
    for (char c : text) {
        if (c == '\n') out += '\r';
        out += c;
    }
    return out;
}

void TextBuffer::edit(const Change& change) {
    const qsizetype at = std::clamp<qsizetype>(change.at, 0, m_shown.size());
    const qsizetype removed = std::clamp<qsizetype>(change.removed, 0, m_shown.size() - at);
    const std::size_t begin = byteAt(at);
    const std::size_t end = byteAt(at + removed, begin, at);
    const std::string text = written(change.added);
    m_shown.replace(at, removed, change.added);
    replaceBytes(begin, end, text);
}

std::optional<TextBuffer::Change> TextBuffer::take(const std::string& bytes) {
    if (bytes == m_bytes) return {};
    const models::TextDelta delta = models::deltaBetween(m_file, m_bytes, bytes);
    replaceBytes(delta.offset, delta.offset + delta.removed.size(), delta.inserted);
    // A return that came to stand before a line feed, or ceased to, is shown otherwise: so what is shown is compared.
    const QString now = shownOf(std::string_view(m_bytes).substr(bomOf(m_bytes)));
    qsizetype front = 0, back = 0;
    const qsizetype least = std::min(now.size(), m_shown.size());
    while (front < least && now[front] == m_shown[front]) ++front;
    if (front > 0 && front < now.size() && now[front - 1].isHighSurrogate()) --front;
    while (back < least - front && now[now.size() - 1 - back] == m_shown[m_shown.size() - 1 - back]) ++back;
    if (back > 0 && now[now.size() - back].isLowSurrogate()) --back;
    const Change change{front, m_shown.size() - front - back, now.mid(front, now.size() - front - back)};
    m_shown = now;
    if (change.removed == 0 && change.added.isEmpty()) return {};
    return change;
}

/// Rows that the change touches are read anew, no others.
void TextBuffer::replaceBytes(std::size_t begin, std::size_t end, const std::string& text) {
    placeRows();
    const std::size_t bom = bomOf(m_bytes);
    const auto& rows = m_document.rows();
    // What is near the mark or in a text without rows is read as a whole.
    const bool whole = rows.empty() || begin < bom + 1 || m_firstByte.back() != m_bytes.size();
    std::vector<syntax::RowEdit> edits;
    if (!whole) {
        const auto after = std::upper_bound(m_firstByte.begin(), m_firstByte.end() - 1, begin);
        const auto first = static_cast<std::uint32_t>(after - m_firstByte.begin()) - 1;
        auto last = first;
        while (last + 1 < rows.size() && m_firstByte[last + 1] < end) ++last;
        // A row that loses its line end takes the next one in.
        const bool joins = m_firstByte[last + 1] == end && end > begin && last + 1 < rows.size() && (text.empty() || text.back() != '\n');
        if (joins) ++last;
        const std::string tail = rows[last].text.substr(end - m_firstByte[last]);
        const auto from = static_cast<std::uint32_t>(begin - m_firstByte[first]);
        const auto sizeOf = [&](std::uint32_t r) { return static_cast<std::uint32_t>(rows[r].text.size()); };
        if (first == last) {
            edits.push_back({first, {from, static_cast<std::uint32_t>(end - m_firstByte[first])}, text});
        } else {
            edits.push_back({first, {from, sizeOf(first)}, text + tail});
            for (std::uint32_t r = first + 1; r <= last; ++r) edits.push_back({r, {0, sizeOf(r)}, {}});
        }
    }
    m_bytes.replace(begin, end - begin, text);
    if (whole)
        m_document = syntax::Document::read(m_file, m_kind, m_bytes);
    else
        m_document.apply(edits);
    m_placed = false;
}

// ---- places

void TextBuffer::placeRows() const {
    if (m_placed) return;
    const auto& rows = m_document.rows();
    m_firstLine.assign(rows.size() + 1, 0);
    m_firstByte.assign(rows.size() + 1, bomOf(m_bytes));
    for (std::size_t i = 0; i < rows.size(); ++i) {
        m_firstLine[i + 1] = m_firstLine[i] + rows[i].lines;
        m_firstByte[i + 1] = m_firstByte[i] + rows[i].text.size();
    }
    m_placed = true;
}

std::uint32_t TextBuffer::lineOfRow(std::uint32_t row) const {
    placeRows();
    return m_firstLine[std::min<std::size_t>(row, m_firstLine.size() - 1)];
}

std::uint32_t TextBuffer::rowOfLine(std::uint32_t line) const {
    placeRows();
    const auto after = std::upper_bound(m_firstLine.begin(), m_firstLine.end(), line);
    return static_cast<std::uint32_t>(std::max<std::ptrdiff_t>(after - m_firstLine.begin() - 1, 0));
}

qsizetype TextBuffer::unitsIn(std::string_view line, std::size_t bytes) {
    qsizetype units = 0;
    for (std::size_t at = 0; at < std::min(bytes, line.size());) {
        const Glyph g = glyphAt(line, at);
        at += g.bytes;
        units += g.units;
    }
    return units;
}

qsizetype TextBuffer::shownAt(std::uint32_t row, std::size_t at) const {
    placeRows();
    const std::size_t bom = bomOf(m_bytes);
    const std::size_t to = m_firstByte[std::min<std::size_t>(row, m_firstByte.size() - 1)];
    const std::string_view all(m_bytes);
    const qsizetype before = unitsIn(all.substr(bom), to - bom);
    return before + unitsIn(all.substr(to), at);
}

TextBuffer::Spot TextBuffer::spotAt(qsizetype shown) const {
    placeRows();
    const std::size_t byte = byteAt(shown);
    if (m_document.rows().empty()) return {};
    const auto after = std::upper_bound(m_firstByte.begin(), m_firstByte.end() - 1, byte);
    auto row = static_cast<std::uint32_t>(std::max<std::ptrdiff_t>(after - m_firstByte.begin() - 1, 0));
    // At the end of the text, behind its last line end, there is no row yet.
    if (row == m_document.rows().size() - 1 && byte == m_bytes.size() && !m_bytes.empty() && m_bytes.back() == '\n') return {row + 1, 0};
    row = std::min(row, static_cast<std::uint32_t>(m_document.rows().size() - 1));
    return {row, byte - m_firstByte[row]};
}

} // namespace spanwright::editor
