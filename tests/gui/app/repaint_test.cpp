// SPDX-License-Identifier: MIT
// After an edit what changed is shown, and what did not is left alone.
#include <QPaintEvent>
#include <QScrollBar>
#include <QTextBlock>

#include "gui/editor/text_view.h"
#include "gui/views/neighbour_list.h"
#include "gui/views/working_panel.h"
#include "tests/gui/app/desk_fixture.h"
#include "tests/gui/test_list.h"

namespace {

/// What of a widget was painted.
struct Painted : QObject {
    QRegion region;
    bool eventFilter(QObject*, QEvent* event) override {
        if (event->type() == QEvent::Paint) region += static_cast<QPaintEvent*>(event)->region();
        return false;
    }
};

} // namespace

class RepaintTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void onlyCellsThatChangedArePainted() {
        Desk d;
        d.go("S1", "L");
        QTest::qWait(100);
        Painted painted;
        d.table().viewport()->installEventFilter(&painted);
        QVERIFY(d.window->grid().setData(d.at("S1", "L"), QStringLiteral("1.3"), Qt::EditRole));
        QTRY_VERIFY(painted.region.contains(d.table().visualRect(d.at("S1", "L")).center()));
        for (const char* name : {"M", "sigma", "bending", "R"}) QVERIFY2(painted.region.contains(d.table().visualRect(d.at("S1", name)).center()), name);
        for (const char* name : {"b", "h", "W"}) QVERIFY2(!painted.region.contains(d.table().visualRect(d.at("S1", name)).center()), name);
        for (const char* name : {"L", "M", "sigma", "R"}) QVERIFY2(!painted.region.contains(d.table().visualRect(d.at("S2", name)).center()), name);
    }

    void namesStandBesideTheirValuesWhateverIsFiltered() {
        Desk d;
        QTableView* names = nullptr;
        for (QTableView* t : d.window->findChildren<QTableView*>())
            if (t->accessibleName().startsWith(QStringLiteral("Rows:"))) names = t;
        QVERIFY(names != nullptr);
        d.window->resize(1280, 420);
        const auto beside = [&] {
            const QModelIndex at = d.table().currentIndex();
            return names->visualRect(at.siblingAtColumn(0)).y() == d.table().visualRect(at).y() &&
                   names->verticalScrollBar()->value() == d.table().verticalScrollBar()->value();
        };
        for (const char* name : {"bending", "slender", "room"}) {
            d.go("S1", name);
            for (const char* filter : {"filter1", "filter0", "filter3", "filter0", "filter2", "filter1", "filter0"}) {
                d.run(filter);
                QTest::qWait(30);
                QVERIFY(d.table().viewport()->rect().contains(d.table().visualRect(d.table().currentIndex()).center())); // it is seen
                QVERIFY2(beside(), qPrintable(QStringLiteral("%1 %2: %3 %4")
                                                  .arg(QLatin1String(name), QLatin1String(filter))
                                                  .arg(names->verticalScrollBar()->value())
                                                  .arg(d.table().verticalScrollBar()->value())));
            }
        }
    }

    void whatIsSelectedInTheWorkingStays() {
        Desk d;
        d.go("S1", "q");
        auto& feeds = d.window->working().feeds();
        QVERIFY(feeds.count() >= 2);
        feeds.setCurrentIndex(feeds.model()->index(1, 0));
        const QString before = feeds.text(1);
        QVERIFY(d.window->grid().setData(d.at("S1", "q"), QStringLiteral("0.6"), Qt::EditRole));
        QVERIFY(feeds.text(1) != before);
        QCOMPARE(feeds.currentIndex().row(), 1);
    }

    void theTextCatchesUpWhenItIsSeen() {
        Desk d;
        d.go("S1", "L");
        QVERIFY(!d.window->text().isVisible());
        QVERIFY(!d.window->session().setValue(*d.window->session().find("S1", "L"), QStringLiteral("1.3 m")));
        QVERIFY(!d.window->session().setValue(*d.window->session().find("S2", "L"), QStringLiteral("1.9 m")));
        d.run("showText");
        QVERIFY(d.window->text().isVisible());
        QVERIFY(d.window->text().view().toPlainText().contains(QStringLiteral("L = 1.3 m")));
        QVERIFY(d.window->text().view().toPlainText().contains(QStringLiteral("L = 1.9 m")));
        // The cursor stands at the row of the selected value, and letters go there.
        QCOMPARE(d.window->text().view().textCursor().block().text().trimmed(), QStringLiteral("with  L = 1.3 m"));
    }
};

SPANWRIGHT_QT_TEST(RepaintTest);
#include "repaint_test.moc"
