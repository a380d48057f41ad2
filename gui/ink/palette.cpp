// SPDX-License-Identifier: MIT
#include "gui/ink/palette.h"

#include <algorithm>

namespace spanwright::ink {

const Palette& lightPalette() {
    static const Palette kLight{QColor(0xFB, 0xF8, 0xF1),
                                QColor(0xF3, 0xEE, 0xE2),
                                QColor(0xD8, 0xD0, 0xBF),
                                QColor(0x2A, 0x29, 0x26),
                                QColor(0x6E, 0x68, 0x5E),
                                QColor(0x7A, 0x4B, 0x1E),
                                false};
    return kLight;
}

const Palette& darkPalette() {
    static const Palette kDark{QColor(0x1F, 0x1E, 0x1B),
                               QColor(0x29, 0x27, 0x22),
                               QColor(0x45, 0x41, 0x3A),
                               QColor(0xEC, 0xE7, 0xDB),
                               QColor(0xA5, 0x9E, 0x90),
                               QColor(0xD9, 0xA0, 0x66),
                               true};
    return kDark;
}

const Palette& paletteOf(const QPalette& palette) { return palette.color(QPalette::Window).lightness() < 128 ? darkPalette() : lightPalette(); }

QPalette widgetPalette(const Palette& p) {
    QPalette out;
    out.setColor(QPalette::Window, p.paper);
    out.setColor(QPalette::Base, p.paper);
    out.setColor(QPalette::AlternateBase, p.card);
    out.setColor(QPalette::Button, p.card);
    out.setColor(QPalette::ToolTipBase, p.card);
    for (const QPalette::ColorRole role : {QPalette::WindowText, QPalette::Text, QPalette::ButtonText, QPalette::ToolTipText, QPalette::BrightText})
        out.setColor(role, p.pencil);
    out.setColor(QPalette::PlaceholderText, p.softPencil);
    out.setColor(QPalette::Highlight, p.sepia);
    out.setColor(QPalette::HighlightedText, p.paper);
    out.setColor(QPalette::Link, p.sepia);
    out.setColor(QPalette::LinkVisited, p.sepia);
    out.setColor(QPalette::Mid, p.rule);
    out.setColor(QPalette::Midlight, p.card);
    out.setColor(QPalette::Light, p.dark ? p.rule : p.paper);
    out.setColor(QPalette::Dark, p.softPencil);
    out.setColor(QPalette::Shadow, p.dark ? p.paper.darker() : p.softPencil);
    for (const QPalette::ColorRole role : {QPalette::WindowText, QPalette::Text, QPalette::ButtonText}) out.setColor(QPalette::Disabled, role, p.softPencil);
    return out;
}

QFont smallFont(const QFont& font) {
    QFont out = font;
    if (font.pointSizeF() > 0)
        out.setPointSizeF(font.pointSizeF() * 0.85);
    else
        out.setPixelSize(std::max(8, static_cast<int>(font.pixelSize() * 0.85)));
    return out;
}

} // namespace spanwright::ink
