// SPDX-License-Identifier: MIT
#include "gui/views/first_picture.h"

#include <QEvent>
#include <QPainter>
#include <QPainterPath>

#include <algorithm>
#include <cmath>
#include <initializer_list>

namespace spanwright::views {

namespace {

using models::FirstPicture;

/// Strokes as by a soft pencil: each is drawn twice, a hair apart, and runs a little past its ends. The places are in
/// a field of 160 by 100.
class Pencil {
public:
    Pencil(QPainter& painter, const QRectF& place, const ink::Palette& palette) : m_p(painter), m_ink(palette.pencil), m_soft(palette.softPencil) {
        m_scale = std::min(place.width() / 160.0, place.height() / 100.0);
        m_origin = place.center() - QPointF(80, 50) * m_scale;
        m_p.setRenderHint(QPainter::Antialiasing);
        m_p.setBrush(Qt::NoBrush);
    }
    void line(double x1, double y1, double x2, double y2, double width = 1.1, bool soft = false) {
        const QPointF a = at(x1, y1), b = at(x2, y2);
        const QPointF along = b - a;
        const double length = std::max(1.0, std::hypot(along.x(), along.y()));
        const QPointF unit = along / length, side(-unit.y(), unit.x());
        // A stroke that is not quite straight, by its place alone: the same in every drawing.
        const double wander = 0.55 * std::sin(x1 * 1.7 + y1 * 2.3 + x2 * 0.9 + y2) * m_scale;
        for (int i = 0; i < 2; ++i) {
            QColor ink = soft ? m_soft : m_ink;
            ink.setAlphaF(i == 0 ? 0.85F : 0.4F);
            m_p.setPen(QPen(ink, width * m_scale * (i == 0 ? 1.0 : 0.7), Qt::SolidLine, Qt::RoundCap));
            QPainterPath path(a - unit * (0.8 * m_scale) + side * (0.3 * i * m_scale));
            path.quadTo((a + b) / 2 + side * (i == 0 ? wander : -wander), b + unit * (0.8 * m_scale));
            m_p.drawPath(path);
        }
    }
    void shape(std::initializer_list<QPointF> points, double width = 1.1) {
        const std::vector<QPointF> all(points);
        for (std::size_t i = 0; i < all.size(); ++i) {
            const QPointF a = all[i], b = all[(i + 1) % all.size()];
            line(a.x(), a.y(), b.x(), b.y(), width);
        }
    }
    void box(double x, double y, double w, double h, double width = 1.1) { shape({{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, width); }
    /// Slanted strokes within a box: cut wood, or a wall.
    void hatch(double x, double y, double w, double h, double step = 4) {
        m_p.save();
        m_p.setClipRect(QRectF(at(x, y), at(x + w, y + h)), Qt::IntersectClip);
        for (double s = -h; s < w; s += step) line(x + s, y + h, x + s + h, y, 0.6, true);
        m_p.restore();
    }
    void arrow(double x, double top, double bottom) {
        line(x, top, x, bottom, 0.9);
        line(x, bottom, x - 2.2, bottom - 4, 0.9);
        line(x, bottom, x + 2.2, bottom - 4, 0.9);
    }
    void grain(double x1, double y1, double x2, double y2) { line(x1, y1, x2, y2, 0.5, true); }

private:
    [[nodiscard]] QPointF at(double x, double y) const { return m_origin + QPointF(x, y) * m_scale; }
    QPainter& m_p;
    QColor m_ink, m_soft;
    double m_scale = 1;
    QPointF m_origin;
};

/// Joists side by side on a wall plate, seen from one corner.
void joists(Pencil& p) {
    for (int i = 0; i < 4; ++i) {
        const double x = 14 + 28 * i;
        p.box(x, 44, 7, 26);
        p.hatch(x, 44, 7, 26, 3);
        p.line(x, 44, x + 38, 18);
        p.line(x + 7, 44, x + 45, 18);
        p.line(x + 7, 70, x + 45, 44);
        p.grain(x + 10, 58, x + 42, 36);
    }
    p.line(12, 71, 118, 71, 1.4);
    p.line(12, 80, 118, 80, 1.4);
    p.line(12, 71, 12, 80, 1.4);
    p.line(118, 71, 146, 51, 1.2);
    p.line(118, 80, 146, 60, 1.2);
    p.line(118, 71, 118, 80, 1.2);
    p.hatch(12, 80, 106, 10, 5);
}

/// An opening in a wall, the header over it, studs below its ends.
void header(Pencil& p) {
    p.line(8, 20, 152, 20, 1.3);
    p.line(8, 26, 152, 26, 1.3);
    p.box(40, 26, 80, 20, 1.4);
    p.grain(46, 33, 112, 32);
    p.grain(44, 40, 108, 39);
    for (const double x : {33.0, 40.0, 113.0, 120.0}) p.box(x, x == 40 || x == 113 ? 46 : 26, 7, x == 40 || x == 113 ? 44 : 64);
    for (const double x : {10.0, 143.0}) p.box(x, 26, 7, 64);
    p.line(6, 90, 47, 90, 1.3);
    p.line(113, 90, 154, 90, 1.3);
    for (double x = 46; x <= 114; x += 17) p.arrow(x, 6, 19);
}

/// A beam of flanges and a web on two walls, and its section beside it.
void levelBeam(Pencil& p) {
    p.box(6, 40, 108, 24, 1.4);
    p.line(6, 46, 114, 46);
    p.line(6, 58, 114, 58);
    for (const double x : {8.0, 44.0, 76.0, 108.0}) {
        p.line(x, 46, x, 58);
        p.line(x + 4, 46, x + 4, 58);
    }
    p.box(6, 64, 14, 26);
    p.hatch(6, 64, 14, 26, 5);
    p.box(100, 64, 14, 26);
    p.hatch(100, 64, 14, 26, 5);
    for (double x = 16; x <= 104; x += 22) p.arrow(x, 22, 38);
    p.box(126, 36, 26, 8);
    p.hatch(126, 36, 26, 8, 3);
    p.box(126, 62, 26, 8);
    p.hatch(126, 62, 26, 8, 3);
    p.line(137, 44, 137, 62, 1.3);
    p.line(141, 44, 141, 62, 1.3);
}

/// The same, deeper in the middle, below two slopes.
void ridgeBeam(Pencil& p) {
    p.line(6, 62, 154, 62, 1.4);
    p.line(6, 56, 154, 56);
    p.line(6, 44, 80, 22, 1.4);
    p.line(80, 22, 154, 44, 1.4);
    p.line(6, 50, 80, 28);
    p.line(80, 28, 154, 50);
    p.line(6, 44, 6, 62, 1.4);
    p.line(154, 44, 154, 62, 1.4);
    for (const double x : {30.0, 55.0, 105.0, 130.0}) {
        const double top = 50 - 22 * (1 - std::abs(x - 80) / 74);
        p.line(x, top, x, 56);
        p.line(x + 3, top, x + 3, 56);
    }
    p.line(78.5, 28, 78.5, 56);
    p.line(81.5, 28, 81.5, 56);
    for (const double x : {6.0, 73.0, 140.0}) {
        p.box(x, 63, 14, 27);
        p.hatch(x, 63, 14, 27, 5);
    }
    p.line(72, 12, 80, 9, 0.9, true);
    p.line(80, 9, 88, 12, 0.9, true);
}

/// A post below a beam, its plate, and the wind from the side.
void post(Pencil& p) {
    p.box(30, 8, 100, 14, 1.4);
    p.grain(36, 13, 122, 12);
    p.grain(40, 18, 118, 17);
    for (const double x : {48.0, 98.0}) {
        p.box(x, 22, 12, 60, 1.3);
        p.grain(x + 4, 28, x + 4, 74);
        p.grain(x + 8, 32, x + 8, 78);
    }
    p.box(38, 82, 84, 7, 1.3);
    p.hatch(30, 89, 100, 8, 5);
    for (double y = 34; y <= 74; y += 13) {
        p.line(22, y, 40, y, 0.9);
        p.line(40, y, 36, y - 2.4, 0.9);
        p.line(40, y, 36, y + 2.4, 0.9);
    }
}

} // namespace

void drawFirstPicture(QPainter& painter, const QRectF& place, FirstPicture picture, const ink::Palette& palette) {
    painter.save();
    Pencil pencil(painter, place, palette);
    switch (picture) {
    case FirstPicture::Joist: joists(pencil); break;
    case FirstPicture::Header: header(pencil); break;
    case FirstPicture::LevelBeam: levelBeam(pencil); break;
    case FirstPicture::RidgeBeam: ridgeBeam(pencil); break;
    case FirstPicture::Post: post(pencil); break;
    }
    painter.restore();
}

PictureButton::PictureButton(FirstPicture picture, QWidget* parent) : QAbstractButton(parent), m_picture(picture) {
    setFocusPolicy(Qt::StrongFocus);
    setCursor(Qt::PointingHandCursor);
    setAttribute(Qt::WA_Hover);
    QSizePolicy policy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    policy.setHeightForWidth(true);
    setSizePolicy(policy);
    setText(models::firstPictureName(picture));
    setAccessibleName(text());
}

QSize PictureButton::minimumSizeHint() const {
    const int letter = fontMetrics().averageCharWidth();
    return {letter * 20, letter * 12 + fontMetrics().height() * 3};
}

QSize PictureButton::sizeHint() const {
    const int letter = fontMetrics().averageCharWidth();
    return {letter * 28, letter * 17 + fontMetrics().height() * 3};
}

int PictureButton::heightForWidth(int width) const { return std::max(minimumSizeHint().height(), width * 2 / 5 + fontMetrics().height() * 3); }

void PictureButton::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    const ink::Palette& p = ink::paletteOf(palette());
    painter.fillRect(rect(), underMouse() || isDown() ? p.card : p.paper);
    painter.setPen(QPen(p.rule, 1));
    painter.drawRect(QRectF(rect()).adjusted(0.5, 0.5, -0.5, -0.5));
    const int words = static_cast<int>(fontMetrics().height() * 2.2);
    drawFirstPicture(painter, QRectF(rect()).adjusted(10, 8, -10, -words - 4), m_picture, p);
    painter.setFont(font());
    painter.setPen(p.pencil);
    painter.drawText(QRect(6, height() - words - 4, width() - 12, words), Qt::AlignCenter | Qt::TextWordWrap, text());
    if (!hasFocus()) return;
    painter.setPen(QPen(p.sepia, 2));
    painter.drawRect(rect().adjusted(1, 1, -2, -2));
}

void PictureButton::changeEvent(QEvent* event) {
    if (event->type() == QEvent::FontChange) updateGeometry();
    QAbstractButton::changeEvent(event);
}

} // namespace spanwright::views
