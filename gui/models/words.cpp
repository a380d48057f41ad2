// SPDX-License-Identifier: MIT
#include "gui/models/words.h"

#include <algorithm>

#include "engine/meaning/typeset.h"
#include "engine/report/words.h"
#include "engine/syntax/formula.h"
#include "gui/models/text.h"

namespace spanwright::models {

namespace {

QString plainNamed(const std::string& typed) { return isNamed(typed) ? fromUtf8(meaning::plain(meaning::typesetName(typed))) : fromUtf8(typed); }

} // namespace

bool isSymbol(const std::string& typed) {
    const QString base = plainNamed(typed).section(QLatin1Char('_'), 0, 0);
    const bool word = base.size() > 1 && std::all_of(base.begin(), base.end(), [](QChar c) { return c.isLower(); });
    return isNamed(typed) && !word;
}

bool isNamed(const std::string& typed) {
    for (std::size_t at = 0; at <= typed.size();) {
        const std::size_t end = std::min(typed.find('.', at), typed.size());
        if (!syntax::isName(std::string_view(typed).substr(at, end - at))) return false;
        at = end + 1;
    }
    return true;
}

QString wordsOf(const std::string& text) {
    if (text.find('`') == std::string::npos) return fromUtf8(text);
    QString out;
    for (const report::Inline& piece : report::namesMarked(text)) {
        if (piece.kind != report::Inline::Kind::Code)
            out += fromUtf8(piece.text);
        else
            out += isSymbol(piece.text) ? plainNamed(piece.text) : QStringLiteral("\"%1\"").arg(plainNamed(piece.text));
    }
    return out;
}

} // namespace spanwright::models
