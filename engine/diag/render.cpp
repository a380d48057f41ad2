// SPDX-License-Identifier: MIT
#include <algorithm>
#include <tuple>

#include "engine/base/text.h"
#include "engine/diag/diagnostic.h"

namespace spanwright::diag {

namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD"; // U+FFFD
constexpr std::uint32_t kWidestLine = 160;
constexpr std::uint32_t kBeforeMark = 60; ///< kept in front of the mark when a long line is cut

/// Text safe for a terminal: what a file holds must not move the cursor or change colours. Every
/// control character and malformed byte becomes one replacement mark, so columns stay true.
std::vector<std::string> printable(std::string_view text) {
    std::vector<std::string> out;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t length = base::utf8Length(text, at);
        const auto lead = static_cast<unsigned char>(text[at]);
        const bool malformed = length == 1 && lead >= 0x80;
        const bool control = (length == 1 && ((lead < 0x20 && lead != '\t') || lead == 0x7F)) ||
                             (length == 2 && lead == 0xC2 && static_cast<unsigned char>(text[at + 1]) < 0xA0);
        if (malformed || control) {
            out.emplace_back(kReplacement);
        } else {
            out.emplace_back(text.substr(at, length));
        }
        at += length;
    }
    return out;
}

std::string joined(const std::vector<std::string>& points) {
    std::string out;
    for (const std::string& p : points) out += p;
    return out;
}

std::string safe(std::string_view text) { return joined(printable(text)); }

/// A source line with room for marks below it.
class MarkedLine {
public:
    MarkedLine(const Resolved& place) : m_number(std::to_string(place.line)), m_points(printable(place.lineText)) {
        if (m_points.size() <= kWidestLine) return;
        const std::size_t from = place.markStart > kBeforeMark ? place.markStart - kBeforeMark : 0;
        const std::size_t to = std::min<std::size_t>(m_points.size(), from + kWidestLine);
        const bool cutEnd = to < m_points.size();
        m_points.resize(to);
        m_points.erase(m_points.begin(), m_points.begin() + static_cast<std::ptrdiff_t>(std::min(from, to)));
        if (from > 0) m_points.insert(m_points.begin(), "...");
        if (cutEnd) m_points.emplace_back("...");
        m_cut = from;
    }

    [[nodiscard]] std::string source() const { return "  " + m_number + " | " + joined(m_points) + "\n"; }

    /// The line of marks; tabs are kept so that the marks stand below what they mean.
    [[nodiscard]] std::string marks(const Resolved& place, char mark, std::string_view text) const {
        std::string out = "  " + std::string(m_number.size(), ' ') + " | ";
        const std::size_t start = place.markStart >= m_cut ? place.markStart - m_cut : 0;
        std::size_t column = 0;
        if (m_cut > 0) {
            out += "   ";
            ++column;
        }
        const std::size_t shift = column;
        for (; column < start + shift; ++column) out += column < m_points.size() && m_points[column] == "\t" ? '\t' : ' ';
        const std::size_t room = column < m_points.size() ? m_points.size() - column : 1;
        out.append(std::clamp<std::size_t>(place.markWidth, 1, std::max<std::size_t>(room, 1)), mark);
        if (!text.empty()) out += " " + safe(text);
        return out + "\n";
    }

private:
    std::string m_number;
    std::vector<std::string> m_points;
    std::size_t m_cut = 0; ///< code points left out at the start
};

std::string header(const Place& place, const std::optional<Resolved>& where, std::string_view kind, std::string_view message) {
    std::string out;
    if (!place.file.empty()) {
        out += safe(place.file);
        if (where) out += ":" + std::to_string(where->line) + ":" + std::to_string(where->column);
        out += ": ";
    }
    out += kind;
    out += ": ";
    return out + safe(message);
}

std::optional<Resolved> look(const Resolver& resolve, const Place& place) {
    if (!resolve || place.row == Place::kNoRow) return std::nullopt;
    return resolve(place);
}

} // namespace

std::string_view severityText(Severity s) {
    switch (s) {
    case Severity::Error: return "error";
    case Severity::Warning: return "warning";
    case Severity::Note: return "note";
    }
    return "error";
}

std::string renderText(const Diagnostic& d, const Resolver& resolve) {
    const std::optional<Resolved> where = look(resolve, d.place);
    std::string out = header(d.place, where, severityText(d.severity), d.message);
    out += " [";
    out += codeText(d.code);
    out += "]\n";

    // Labels on the same line stand below it; the others bring their own line.
    std::string elsewhere;
    std::string below;
    for (const Label& label : d.labels) {
        const std::optional<Resolved> at = look(resolve, label.place);
        if (where && at && label.place.file == d.place.file && at->line == where->line) {
            below += MarkedLine(*where).marks(*at, '~', label.text);
            continue;
        }
        elsewhere += header(label.place, at, "note", label.text) + "\n";
        if (at) {
            const MarkedLine line(*at);
            elsewhere += line.source() + line.marks(*at, '~', {});
        }
    }
    if (where) {
        const MarkedLine line(*where);
        out += line.source() + line.marks(*where, '^', {});
    }
    out += below;
    out += elsewhere;
    if (!d.member.empty()) out += "  in member " + safe(d.member) + "\n";
    for (const std::string& note : d.notes) out += "  note: " + safe(note) + "\n";
    if (!d.mend.empty()) out += "  mend: " + safe(d.mend) + "\n";
    return out;
}

void sortForShow(std::vector<Diagnostic>& list) {
    // The file as a whole comes before its rows: adding one wraps kNoRow to 0.
    const auto key = [](const Diagnostic& d) {
        return std::make_tuple(std::string_view(d.place.file), d.severity, d.place.row + 1U, d.place.span.begin, d.code, std::string_view(d.member));
    };
    std::stable_sort(list.begin(), list.end(), [&](const Diagnostic& a, const Diagnostic& b) { return key(a) < key(b); });
}

} // namespace spanwright::diag
