// SPDX-License-Identifier: MIT
#include "gui/views/selectable_label.h"

#include <QTest>

#include "tests/gui/test_list.h"

using namespace spanwright;

class SelectableLabelTest : public QObject {
    Q_OBJECT

    static bool selectable(const QLabel& label) { return label.textInteractionFlags().testFlag(Qt::TextSelectableByMouse); }
    static void enter(QWidget& w) {
        QEnterEvent event(QPointF(5, 5), QPointF(5, 5), QPointF(5, 5));
        QCoreApplication::sendEvent(&w, &event);
    }
    static void leave(QWidget& w) {
        QEvent event(QEvent::Leave);
        QCoreApplication::sendEvent(&w, &event);
    }

private Q_SLOTS:
    void wordsCanBeSelectedUnderTheMouse() {
        views::SelectableLabel label;
        label.setTextFormat(Qt::PlainText);
        label.setText(QStringLiteral("stated as 4.2 m"));
        QVERIFY(!selectable(label));
        enter(label);
        QVERIFY(selectable(label));
        leave(label);
        QVERIFY(!selectable(label));
    }

    void whatIsSelectedStaysUntilItIsLeftUnselected() {
        views::SelectableLabel label;
        label.setTextFormat(Qt::PlainText);
        label.setText(QStringLiteral("stated as 4.2 m"));
        enter(label);
        label.setSelection(10, 5);
        leave(label);
        QCOMPARE(label.selectedText(), QStringLiteral("4.2 m"));
        enter(label);
        label.setSelection(0, 0);
        leave(label);
        QVERIFY(!selectable(label));
    }
};

SPANWRIGHT_QT_TEST(SelectableLabelTest);
#include "selectable_label_test.moc"
