// SPDX-License-Identifier: MIT
#include <QApplication>
#include <QImage>
#include <QPainter>
#include <QTest>

#include "gui/ink/drawing_paint.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using report::Drawing;

namespace {

int inkIn(const QImage& image) {
    int n = 0;
    for (int y = 0; y < image.height(); ++y)
        for (int x = 0; x < image.width(); ++x)
            if (qGray(image.pixel(x, y)) < 128) ++n;
    return n;
}

QImage painted(const Drawing& d) {
    QImage image(static_cast<int>(d.width) + 1, static_cast<int>(d.height) + 1, QImage::Format_Grayscale8);
    image.fill(Qt::white);
    QPainter p(&image);
    ink::paintDrawing(p, d, Qt::black);
    return image;
}

} // namespace

class DrawingPaintTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void everyShapeLeavesInk() {
        using P = Drawing::Point;
        const std::vector<Drawing::Shape> shapes{Drawing::Polyline{{P{5, 5}, P{35, 5}}, Drawing::Ink::Full, Drawing::Dash::Short, 2},
                                                 Drawing::Rect{5, 5, 20, 20, false, Drawing::Ink::Full},
                                                 Drawing::Rect{5, 5, 20, 20, true, Drawing::Ink::Full},
                                                 Drawing::Dot{{20, 20}, 5},
                                                 Drawing::Strokes{{P{5, 5}, P{30, 5}, P{5, 15}, P{30, 15}}, Drawing::Ink::Full, 2},
                                                 Drawing::Filled{{P{5, 5}, P{30, 5}, P{5, 30}}},
                                                 Drawing::Text{{5, 30}, "mm", Drawing::Text::Anchor::Start, Drawing::Ink::Full, 20, 0}};
        for (const Drawing::Shape& shape : shapes) {
            Drawing d;
            d.width = d.height = 40;
            d.shapes = {shape};
            QVERIFY(inkIn(painted(d)) > 5);
        }
    }

    void aTurnedTextStandsUpright() {
        Drawing d;
        d.width = d.height = 100;
        d.shapes = {Drawing::Text{{50, 50}, "mmmm", Drawing::Text::Anchor::Middle, Drawing::Ink::Full, 14, 90}};
        const QImage image = painted(d);
        int wide = 0;
        int tall = 0;
        for (int i = 0; i < 100; ++i) {
            bool row = false;
            bool column = false;
            for (int k = 0; k < 100; ++k) {
                row = row || qGray(image.pixel(k, i)) < 128;
                column = column || qGray(image.pixel(i, k)) < 128;
            }
            tall += row ? 1 : 0;
            wide += column ? 1 : 0;
        }
        QVERIFY(tall > 2 * wide);
    }

    void hatchingStaysInsideItsBox() {
        Drawing d;
        d.width = d.height = 60;
        d.shapes = {Drawing::Rect{20, 10, 30, 25, true, Drawing::Ink::Full}};
        const QImage image = painted(d);
        for (int y = 0; y < 60; ++y)
            for (int x = 0; x < 60; ++x)
                if (x < 19 || x > 50 || y < 9 || y > 35) QVERIFY2(qGray(image.pixel(x, y)) > 200, qPrintable(QStringLiteral("%1,%2").arg(x).arg(y)));
    }

    void whatATextCoversIsWhereItsInkIs() {
        for (const double turned : {0.0, 90.0}) {
            Drawing d;
            d.width = d.height = 120;
            const Drawing::Text text{{60, 60}, "3.60 m", Drawing::Text::Anchor::Middle, Drawing::Ink::Full, 14, turned};
            d.shapes = {text};
            const QRectF extent = ink::textExtent(text, QApplication::font()).adjusted(-1, -1, 1, 1);
            const QImage image = painted(d);
            for (int y = 0; y < 120; ++y)
                for (int x = 0; x < 120; ++x)
                    if (qGray(image.pixel(x, y)) < 128) QVERIFY(extent.contains(QPointF(x + 0.5, y + 0.5)));
            // And not much larger than that.
            QVERIFY(extent.width() + extent.height() < 14 * 7);
        }
    }
};

SPANWRIGHT_QT_TEST(DrawingPaintTest);
#include "drawing_paint_test.moc"
