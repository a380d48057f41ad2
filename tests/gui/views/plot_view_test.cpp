// SPDX-License-Identifier: MIT
#include <QTest>

#include <cmath>

#include "gui/views/plot_view.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using views::PlotView;

namespace {

/// A parabola over `length` metres, `peak` in the middle.
job::PlotView parabola(double length, double peak, const std::string& yUnit = "kN·m") {
    job::PlotView p;
    p.name = "B.M";
    p.what = "bending moment";
    p.xUnit = "m";
    p.yUnit = yUnit;
    p.xName = "x";
    p.curves.push_back({"", {}});
    for (int i = 0; i <= 40; ++i) {
        const double x = length * i / 40;
        p.x.push_back(x);
        p.curves.front().y.push_back(4 * peak * x * (length - x) / (length * length));
    }
    return p;
}

void toTheMiddle(PlotView& view) {
    for (int i = 0; i <= 20; ++i) QTest::keyClick(&view, Qt::Key_Right);
}

} // namespace

class PlotViewTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void theExtremeAndTheValueUnderThePointerAreSaid() {
        PlotView view;
        view.resize(400, 260);
        view.setPlot(parabola(4, 8), QStringLiteral("J1"));
        QVERIFY(view.accessibleName().contains(QStringLiteral("largest 8 kN·m at 2 m")));
        toTheMiddle(view);
        QCOMPARE(view.readOut(), QStringLiteral("x = 2 m:  8 kN·m"));
    }

    void othersLieOverItAndAreReadAtTheSamePlace() {
        PlotView view;
        view.resize(400, 260);
        const QSize alone = (view.setPlot(parabola(4, 8), QStringLiteral("J1")), view.sizeHint());
        view.setPlot(parabola(4, 8), QStringLiteral("J1"), {{QStringLiteral("J2"), parabola(4, 20)}, {QStringLiteral("J3"), parabola(1, 3)}});
        // Room for the legend.
        QVERIFY(view.sizeHint().height() > alone.height());
        QVERIFY(view.accessibleName().contains(QStringLiteral("J2")));
        toTheMiddle(view);
        // 4*20*2*2/16 = 20 for J2; J3 ends at 1 m.
        QCOMPARE(view.readOut(), QStringLiteral("x = 2 m:  8 kN·m;  J2 20 kN·m"));
        // What is in other units cannot lie on the same axes.
        view.setPlot(parabola(4, 8), QStringLiteral("J1"), {{QStringLiteral("J2"), parabola(4, 20, "lbf·ft")}});
        QVERIFY(!view.accessibleName().contains(QStringLiteral("J2")));
    }

    void othersLeaveInkAndALargeOneFitsTheFrame() {
        PlotView view;
        view.setPlot(parabola(4, 8), QStringLiteral("J1"));
        view.resize(400, view.sizeHint().height() + 80);
        const QImage alone = view.grab().toImage();
        view.setPlot(parabola(4, 8), QStringLiteral("J1"), {{QStringLiteral("J2"), parabola(4, 800)}});
        const QImage both = view.grab().toImage();
        QVERIFY(alone != both);
        // The member's own curve is flat now, since the other sets the scale: its label says the member's own extreme all the same.
        QVERIFY(view.accessibleName().contains(QStringLiteral("largest 8 kN·m at 2 m")));
    }

    void aCurveThatWasNotComputedIsSaidToBeSo() {
        PlotView view;
        job::PlotView p = parabola(4, 8);
        for (double& y : p.curves.front().y) y = NAN;
        view.setPlot(p, QStringLiteral("J1"), {{QStringLiteral("J2"), parabola(4, 20)}});
        QVERIFY(view.accessibleName().contains(QStringLiteral("not computed")));
    }
};

SPANWRIGHT_QT_TEST(PlotViewTest);
#include "plot_view_test.moc"
