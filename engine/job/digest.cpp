// SPDX-License-Identifier: MIT
#include "engine/job/digest.h"

#include <algorithm>
#include <bit>

#include <boost/uuid/detail/sha1.hpp>

#include "engine/syntax/formula.h"
#include "engine/syntax/token.h"

namespace spanwright::job {

Digester& Digester::text(std::string_view t) {
    m_bytes += std::to_string(t.size());
    m_bytes += ':';
    m_bytes += t;
    return *this;
}

Digester& Digester::number(double v) {
    const auto bits = std::bit_cast<std::uint64_t>(v == 0.0 ? 0.0 : v);
    for (int shift = 56; shift >= 0; shift -= 8) m_bytes += static_cast<char>(static_cast<unsigned char>(bits >> static_cast<unsigned>(shift)));
    return *this;
}

Digester& Digester::digest(const Digest& d) {
    for (std::uint32_t word : d)
        for (int shift = 24; shift >= 0; shift -= 8) m_bytes += static_cast<char>(static_cast<unsigned char>(word >> static_cast<unsigned>(shift)));
    return *this;
}

Digest Digester::done() const {
    boost::uuids::detail::sha1 sha;
    sha.process_bytes(m_bytes.data(), m_bytes.size());
    unsigned int words[5];
    sha.get_digest(words);
    return {words[0], words[1], words[2], words[3], words[4]};
}

std::string threeLetters(const Digest& d) {
    constexpr std::string_view kAlphabet = "23456789ABCDEFGHJKMNPQRSTUVWXYZ";
    std::uint64_t v = (static_cast<std::uint64_t>(d[0]) << 32U) | d[1];
    std::string out;
    for (int i = 0; i < 3; ++i) {
        out += kAlphabet[v % kAlphabet.size()];
        v /= kAlphabet.size();
    }
    return out;
}

std::string nineLetters(const Groups& g) { return threeLetters(g.formulas) + "-" + threeLetters(g.values) + "-" + threeLetters(g.tables); }

Digest tableDigest(const meaning::Table& t) {
    Digester d;
    d.text(t.name).text(t.comment).text(t.isMatrix ? "matrix" : "table").text(t.matrixUnit.dimension.text());
    for (std::uint32_t key : t.keys) d.text(std::to_string(key));
    for (const std::string& key : t.columnKeys) d.text(key);
    for (std::size_t c = 0; c < t.columns.size(); ++c) {
        d.text(t.columns[c].name).text(t.columns[c].text ? "text" : t.columns[c].unit.dimension.text());
        // Cells that are numbers count as numbers: 0.50 is 0.5. Ids of texts differ from run to run: texts count as
        // written, and so do keys.
        const bool key = std::find(t.keys.begin(), t.keys.end(), c) != t.keys.end();
        for (std::size_t r = 0; r < t.rowCount(); ++r) {
            if (t.columns[c].text || key)
                d.text(t.texts[c][r]);
            else
                d.number(t.cells[c][r]);
        }
    }
    return d.done();
}

namespace {

std::string canonical(std::string_view text, base::ByteSpan within, bool toDashes) {
    std::string out;
    for (const syntax::Token& token : syntax::tokenize(text)) {
        if (toDashes && token.kind == syntax::TokenKind::Dashes) break;
        if (token.span.begin < within.begin || token.span.end > within.end) continue;
        switch (token.kind) {
        case syntax::TokenKind::Blank:
        case syntax::TokenKind::LineEnd:
        case syntax::TokenKind::Comment: continue;
        case syntax::TokenKind::Word: out += syntax::canonicalName(token.span.of(text)); break;
        default: out += token.span.of(text); break;
        }
        out += ' ';
    }
    return out;
}

} // namespace

std::string canonicalText(const syntax::Row& row, base::ByteSpan within) { return canonical(row.text, within, false); }

std::string canonicalRow(const syntax::Row& row) { return canonical(row.text, {0, static_cast<std::uint32_t>(row.text.size())}, true); }

} // namespace spanwright::job
