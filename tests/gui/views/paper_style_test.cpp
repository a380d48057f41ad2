// SPDX-License-Identifier: MIT
#include <QApplication>
#include <QCheckBox>
#include <QLineEdit>
#include <QListWidget>
#include <QTest>

#include <algorithm>

#include "gui/ink/palette.h"
#include "gui/views/paper_style.h"
#include "tests/gui/test_list.h"

using namespace spanwright;

class PaperStyleTest : public QObject {
    Q_OBJECT

    /// How far the lightest of what is drawn stands out from the paper, in steps of 255.
    static int contrast(QWidget& widget, const ink::Palette& p, const QRect& within) {
        const QImage image = widget.grab(within).toImage();
        int most = 0;
        for (int y = 0; y < image.height(); ++y)
            for (int x = 0; x < image.width(); ++x) most = std::max(most, std::abs(qGray(image.pixel(x, y)) - qGray(p.paper.rgb())));
        return most;
    }

private Q_SLOTS:
    void fieldsAndBoxesAreSeenOnEitherPaper_data() {
        QTest::addColumn<bool>("dark");
        QTest::newRow("light") << false;
        QTest::newRow("dark") << true;
    }

    void fieldsAndBoxesAreSeenOnEitherPaper() {
        QFETCH(bool, dark);
        const ink::Palette& p = dark ? ink::darkPalette() : ink::lightPalette();
        views::PaperStyle style;
        const auto ready = [&](QWidget& widget) {
            widget.setStyle(&style);
            widget.setPalette(ink::widgetPalette(p));
            widget.resize(200, 60);
            widget.ensurePolished();
        };
        QLineEdit line;
        ready(line);
        QVERIFY2(contrast(line, p, line.rect()) > 40, qPrintable(QString::number(contrast(line, p, line.rect()))));
        QCheckBox box;
        ready(box);
        QVERIFY2(contrast(box, p, box.rect()) > 40, qPrintable(QString::number(contrast(box, p, box.rect()))));
        // A member that is not chosen, in the list of those to print: nothing but its box is in the row.
        QListWidget list;
        ready(list);
        list.setFrameStyle(QFrame::NoFrame);
        auto* item = new QListWidgetItem(&list);
        item->setFlags(Qt::ItemIsUserCheckable | Qt::ItemIsEnabled);
        item->setCheckState(Qt::Unchecked);
        const QRect row = list.visualItemRect(item);
        QVERIFY2(contrast(list, p, row) > 40, qPrintable(QString::number(contrast(list, p, row))));
    }
};

SPANWRIGHT_QT_TEST(PaperStyleTest);
#include "paper_style_test.moc"
