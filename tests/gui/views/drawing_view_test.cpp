// SPDX-License-Identifier: MIT
#include <QImage>
#include <QPainter>
#include <QTest>

#include "engine/report/build.h"
#include "gui/views/drawing_view.h"
#include "gui/views/palette.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using report::Drawing;
using views::DrawingView;

namespace {

/// A box hatched and measured, as a sketch of the report.
Drawing sketch() {
    using Shape = job::SketchView::Shape;
    job::SketchView s;
    s.title = "Section";
    const auto mark = [&](Shape shape, std::vector<job::SketchView::Point> points, const char* text) {
        job::SketchView::Mark m;
        m.shape = shape;
        m.points = std::move(points);
        m.text = text;
        s.marks.push_back(std::move(m));
    };
    mark(Shape::Outline, {{0, 0}, {0.2, 0}, {0.2, 0.1}, {0, 0.1}}, "");
    mark(Shape::Hatch, {{0, 0}, {0.2, 0}, {0.2, 0.1}, {0, 0.1}}, "");
    mark(Shape::Dimension, {{0, 0}, {0, 0.1}}, "100 mm");
    return report::sketchDrawing(s);
}

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
    views::paintDrawing(p, d, Qt::black);
    return image;
}

} // namespace

class DrawingViewTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void everyShapeLeavesInk() {
        using P = Drawing::Point;
        const std::vector<Drawing::Shape> shapes{Drawing::Polyline{{P{5, 5}, P{35, 5}}, Drawing::Ink::Full, Drawing::Dash::Short, 2},
                                                 Drawing::Rect{5, 5, 20, 20, false, Drawing::Ink::Full},
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

    void aDrawingIsWholeAndKeepsItsShape() {
        DrawingView view;
        view.setDrawing(sketch(), QStringLiteral("Section: across"));
        const QSize hint = view.sizeHint();
        QVERIFY(view.heightForWidth(hint.width() / 2) < hint.height());
        // Much room does not blow it up.
        QCOMPARE(view.heightForWidth(hint.width() * 3), view.heightForWidth(hint.width() * 9));
        QVERIFY(view.accessibleName().contains(QStringLiteral("100 mm")));
        view.resize(hint.width() / 2, view.heightForWidth(hint.width() / 2));
        for (const views::Palette& ours : {views::lightPalette(), views::darkPalette()}) {
            view.setPalette(views::widgetPalette(ours));
            const QImage image = view.grab().toImage();
            const QColor paper = image.pixelColor(1, 1);
            int other = 0;
            for (int y = 0; y < image.height(); ++y)
                for (int x = 0; x < image.width(); ++x)
                    if (std::abs(qGray(image.pixel(x, y)) - qGray(paper.rgb())) > 60) ++other;
            QVERIFY(other > 200);
        }
    }
};

SPANWRIGHT_QT_TEST(DrawingViewTest);
#include "drawing_view_test.moc"
