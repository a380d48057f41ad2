// SPDX-License-Identifier: MIT
#include "engine/syntax/document.h"
#include "engine/syntax/formula_reader.h"

namespace spanwright::syntax {

namespace {

/// Behind the first `=` of a row, if it has one.
[[nodiscard]] std::optional<std::uint32_t> behindEquals(const TokenRow& tokens) {
    for (std::size_t i = 1; i < tokens.size(); ++i) {
        if (tokens.isSymbol(i, "=")) return tokens.tokens[i].span.end;
    }
    return std::nullopt;
}

/// Behind the name, its unit and its tag: where ` = VALUE` goes.
[[nodiscard]] std::uint32_t behindHead(const Row& row, const TokenRow& tokens) {
    std::uint32_t at = row->name.span.end;
    for (std::size_t i = 1; i < tokens.size(); ++i) {
        if (tokens.tokens[i].span.begin < row->name.span.end) continue;
        const bool bracket = tokens.isSymbol(i, "[") && tokens.tokens[i].span.begin >= at;
        if (bracket) {
            while (i < tokens.size() && !tokens.isSymbol(i, "]")) ++i;
            if (i < tokens.size()) at = tokens.tokens[i].span.end;
        } else if (tokens.isWord(i, "as") && i + 1 < tokens.size()) {
            at = tokens.tokens[++i].span.end;
        } else {
            break;
        }
    }
    return at;
}

} // namespace

RowEdit valueEdit(const Document& d, std::uint32_t rowIndex, std::string_view value) {
    RowEdit edit;
    edit.row = rowIndex;
    if (rowIndex >= d.rows().size()) return edit;
    const Row& row = d.rows()[rowIndex];
    if (!row->name.present()) return edit;
    const bool settable = row.kind == RowKind::Ask || row.kind == RowKind::Given || row.kind == RowKind::Choose || row.kind == RowKind::With;
    if (!settable) return edit;

    const base::ByteSpan written = row.kind == RowKind::Given ? row->formula.span : row->key.span;
    const bool hasValue = row.kind == RowKind::Given ? row->formula.present() : row.kind != RowKind::Ask && !written.empty();
    if (hasValue) {
        edit.span = written;
        edit.text = std::string(value);
        return edit;
    }
    const TokenRow tokens(row.text);
    if (row.kind != RowKind::Ask) {
        if (const auto at = behindEquals(tokens)) {
            // `given x =` with nothing behind it: the blank after the sign is kept if there is one.
            const bool blank = *at < row.text.size() && (row.text[*at] == ' ' || row.text[*at] == '\t');
            const std::uint32_t to = blank ? *at + 1 : *at;
            edit.span = {to, to};
            edit.text = (blank ? "" : " ") + std::string(value);
            const bool touches = to < row.text.size() && row.text[to] == '-';
            if (touches) edit.text += ' ';
            return edit;
        }
        const std::uint32_t at = behindHead(row, tokens);
        edit.span = {at, at};
        edit.text = " = " + std::string(value);
        return edit;
    }
    const std::uint32_t at = behindHead(row, tokens);
    edit.span = {row->keyword.span.begin, at};
    edit.text = "given" + row.text.substr(row->keyword.span.end, at - row->keyword.span.end) + " = " + std::string(value);
    return edit;
}

} // namespace spanwright::syntax
