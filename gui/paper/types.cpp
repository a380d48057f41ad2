// SPDX-License-Identifier: MIT
#include "gui/paper/types.h"

#include <QFontMetricsF>

#include <cmath>

#include "gui/paper/page_format.h"

namespace spanwright::paper {

const ink::Palette& printPalette() {
    static const ink::Palette kPrint{Qt::white, Qt::white, QColor(0xA0, 0xA0, 0xA0), Qt::black, QColor(0x50, 0x50, 0x50), Qt::black, false};
    return kPrint;
}

QFont baseFont(Voice voice) {
    QFont font;
    if (voice == Voice::Code)
        font.setFamilies({QStringLiteral("DejaVu Sans Mono"), QStringLiteral("monospace")});
    else
        font.setFamilies({QStringLiteral("DejaVu Sans"), QStringLiteral("sans-serif")});
    font.setBold(voice == Voice::Strong);
    font.setHintingPreference(QFont::PreferNoHinting);
    // The least there is: joined letters would be copied out of the file as one character that no search finds.
    font.setLetterSpacing(QFont::AbsoluteSpacing, 1.5 / 64);
    return font;
}

qreal Types::Face::width(const QString& word) {
    if (const auto known = widths.constFind(word); known != widths.cend()) return *known;
    const qreal w = QFontMetricsF(font).horizontalAdvance(word);
    widths.insert(word, w);
    return w;
}

Types::Face& Types::face(Voice voice, qreal size, bool italic) {
    const int pixels = static_cast<int>(std::lround(points(size)));
    const auto [at, made] = m_faces.try_emplace({voice, pixels, italic});
    Face& f = at->second;
    if (!made) return f;
    f.font = baseFont(voice);
    f.font.setPixelSize(pixels);
    f.font.setItalic(italic);
    const QFontMetricsF fm(f.font);
    f.ascent = fm.ascent();
    f.descent = fm.descent();
    f.blank = fm.horizontalAdvance(QLatin1Char(' '));
    return f;
}

} // namespace spanwright::paper
