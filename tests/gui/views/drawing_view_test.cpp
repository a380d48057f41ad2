// SPDX-License-Identifier: MIT
#include <QImage>
#include <QTest>

#include "engine/report/build.h"
#include "gui/ink/palette.h"
#include "gui/views/drawing_view.h"
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

} // namespace

class DrawingViewTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void theCaptionIsWholeAtAnyWidth() {
        views::DrawingView view;
        const QString caption = QStringLiteral("Section: across two neighbouring joists, seen from end A");
        view.setDrawing({}, caption);
        QFont slanted = view.font();
        slanted.setItalic(true);
        for (int width = 60; width < 700; ++width) {
            const int needed = QFontMetrics(slanted).boundingRect(QRect(0, 0, width, 10'000), Qt::TextWordWrap, caption).height();
            QVERIFY2(view.heightForWidth(width) >= needed, qPrintable(QString::number(width)));
        }
    }

    void lettersOfASmallDrawingGrowAsFarAsTheyDoNotMeet() {
        Drawing far, near;
        far.width = near.width = 800;
        far.height = near.height = 100;
        const auto text = [](double x, const char* words) {
            Drawing::Text t;
            t.at = {x, 50};
            t.text = words;
            return t;
        };
        far.shapes = {text(20, "220 mm"), text(500, "C24")};
        near.shapes = {text(20, "220 mm"), text(68, "C24")};
        DrawingView view;
        view.resize(400, 300);
        view.setDrawing(far, {});
        (void)view.grab();
        const double half = view.letters();
        // At half its size on paper letters of 11 would be 5.5 pixels high.
        QVERIFY2(half > 1.3, qPrintable(QString::number(half)));
        view.setDrawing(near, {});
        (void)view.grab();
        QVERIFY(view.letters() < half);
        // With much room they are as on paper.
        view.setDrawing(far, {});
        view.resize(1280, 300);
        (void)view.grab();
        QVERIFY(view.letters() <= 1.0);
        // Larger letters of the window are larger letters in it.
        view.resize(400, 300);
        QFont large = view.font();
        large.setPointSizeF(large.pointSizeF() * 1.5);
        view.setFont(large);
        (void)view.grab();
        QVERIFY(view.letters() > half);
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
        for (const ink::Palette& ours : {ink::lightPalette(), ink::darkPalette()}) {
            view.setPalette(ink::widgetPalette(ours));
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
