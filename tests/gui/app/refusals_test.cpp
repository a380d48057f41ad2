// SPDX-License-Identifier: MIT
// What is typed and not taken: told as long as it is so, and lost to nothing that happens meanwhile.
#include <QAction>
#include <QLabel>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QScopeGuard>
#include <QStatusBar>

#include "gui/models/job_values.h"
#include "gui/models/words.h"
#include "gui/views/cautions_foot.h"
#include "gui/views/rich_words.h"
#include "gui/views/sentence_bar.h"
#include "gui/views/working_panel.h"
#include "tests/gui/app/desk_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using models::GridModel;

class RefusalsTest : public QObject {
    Q_OBJECT

    static QString told(Desk& d) { return d.window->statusBar()->currentMessage(); }
    static void type(Desk& d, const QString& text) {
        d.key(Qt::Key_F2);
        QVERIFY(d.editor() != nullptr);
        auto* line = d.editor()->findChild<QLineEdit*>();
        line->selectAll();
        QTest::keyClicks(line, text);
    }

private Q_SLOTS:
    void aWrongUnitSaysWhatToWrite() {
        Desk d;
        d.go("S1", "L");
        type(d, QStringLiteral("2 kg"));
        d.key(Qt::Key_Return);
        const QString why = d.at("S1", "L").data(GridModel::RefusalRole).toString();
        QVERIFY2(why.contains(QStringLiteral("mend: write a value in m, or in another unit of that kind")), qPrintable(why));
    }

    void ofWhatIsPastedAMessageTellsAsMuchAsFits() {
        Desk d;
        const QString all(3'000'000, QLatin1Char('x'));
        for (const QString& text : {all, all + QLatin1Char('\n'), QStringLiteral("1 m\r\n") + all, all + QLatin1Char('\t') + all}) {
            const models::Outcome no = d.window->grid().paste(d.at("S1", "L"), text);
            QVERIFY(no.has_value());
            QVERIFY2(no->message.size() < 1000 && no->mend.size() < 1000, qPrintable(QString::number(no->message.size())));
        }
        QCOMPARE(d.text(), QString::fromLatin1(shelf::kJob));
        // A text of other line ends, with a tab in it.
        QVERIFY(!d.window->grid().paste(d.at("S1", "L"), QStringLiteral("1.3 m\t1.9 m\r\n")));
        QCOMPARE(d.shown("S1", "L"), QStringLiteral("1.3"));
        QCOMPARE(d.shown("S2", "L"), QStringLiteral("1.9"));
    }

    void aRefusalIsToldAsLongAsItIsOne() {
        Desk d;
        d.go("S1", "L");
        type(d, QStringLiteral("2 kg"));
        d.key(Qt::Key_Return);
        QVERIFY2(told(d).contains(QStringLiteral("kg")), qPrintable(told(d)));
        // Being mended.
        d.keys(QStringLiteral("x"));
        QCOMPARE(told(d), QString());
        d.key(Qt::Key_Return);
        QVERIFY(told(d) != QString());
        // Mended.
        type(d, QStringLiteral("2 m"));
        d.key(Qt::Key_Return);
        QTRY_COMPARE(d.shown("S1", "L"), QStringLiteral("2"));
        QCOMPARE(told(d), QString());
        // Left by a click: told until the next step, and again where it stands.
        type(d, QStringLiteral("3 kg"));
        d.click(d.at("S1", "h"));
        QVERIFY2(told(d).contains(QStringLiteral("kg")), qPrintable(told(d)));
        QTest::qWait(20);
        d.key(Qt::Key_Down);
        QCOMPARE(told(d), QString());
        d.go("S1", "L");
        QVERIFY(told(d).contains(QStringLiteral("kg")));
        // Given up, or mended elsewhere.
        d.key(Qt::Key_F2);
        d.key(Qt::Key_Escape);
        QCOMPARE(told(d), QString());
        type(d, QStringLiteral("4 kg"));
        d.key(Qt::Key_Return);
        QVERIFY(told(d) != QString());
        d.key(Qt::Key_Escape);
        QCOMPARE(told(d), QString());
        // A message about something else is left alone.
        type(d, QStringLiteral("4 kg"));
        d.key(Qt::Key_Return);
        d.window->statusBar()->showMessage(QStringLiteral("saved"));
        d.key(Qt::Key_Escape);
        QCOMPARE(told(d), QStringLiteral("saved"));
    }

    void aFilterTakesWhatStandsInTheEditor() {
        Desk d;
        d.go("S1", "L");
        type(d, QStringLiteral("2.5"));
        QTest::keyClick(d.window.get(), Qt::Key_2, Qt::ControlModifier);
        QCOMPARE(d.window->grid().filter(), GridModel::Filter::Checks);
        QVERIFY(d.text().contains(QStringLiteral("L = 2.5 m")));
        QVERIFY(d.editor() == nullptr);
        QTest::keyClick(d.window.get(), Qt::Key_1, Qt::ControlModifier);
        QCOMPARE(d.window->gridView().current(), d.at("S1", "L"));
        // What does not fit waits at its cell.
        type(d, QStringLiteral("2 kg"));
        QTest::keyClick(d.window.get(), Qt::Key_2, Qt::ControlModifier);
        QTest::keyClick(d.window.get(), Qt::Key_1, Qt::ControlModifier);
        QCOMPARE(d.at("S1", "L").data(GridModel::RefusedRole).toString(), QStringLiteral("2 kg"));
        d.window->gridView().setFocus();
        d.key(Qt::Key_F2);
        QTRY_VERIFY(d.editor() != nullptr);
        QCOMPARE(d.editor()->findChild<QLineEdit*>()->text(), QStringLiteral("2 kg"));
        d.key(Qt::Key_Escape);
        // Another sheet: the same.
        type(d, QStringLiteral("1.9"));
        d.run("nextSheet");
        QVERIFY(d.text().contains(QStringLiteral("L = 1.9 m")));
    }

    void whatIsBeingTypedGoesOnBehindOtherRows() {
        Desk d;
        d.go("S2", "h");
        type(d, QStringLiteral("4"));
        // The job gets a member before this one meanwhile: columns are others.
        QVERIFY(!d.window->session().edit(QStringLiteral("another"), [](job::Job& job) { return job.duplicateMember("S1", "S9"); }));
        QTRY_VERIFY(d.editor() != nullptr);
        QCOMPARE(d.window->gridView().current(), d.at("S2", "h"));
        QCOMPARE(d.editor()->findChild<QLineEdit*>()->text(), QStringLiteral("4"));
        QTRY_VERIFY(d.editor()->isAncestorOf(QApplication::focusWidget()));
        d.keys(QStringLiteral("2"));
        d.key(Qt::Key_Return);
        QTRY_COMPARE(d.shown("S2", "h"), QStringLiteral("42"));
        QCOMPARE(d.shown("S1", "h"), QStringLiteral("30"));
        QCOMPARE(d.shown("S9", "h"), QStringLiteral("30"));
        // Its member gone, nothing is typed into another's cell.
        type(d, QStringLiteral("7"));
        QVERIFY(!d.window->session().edit(QStringLiteral("gone"), [](job::Job& job) { return job.removeMember("S2"); }));
        QTest::qWait(50);
        QVERIFY(d.editor() == nullptr);
        QCOMPARE(d.shown("S1", "h"), QStringLiteral("30"));
        QCOMPARE(d.shown("S9", "h"), QStringLiteral("30"));
    }

    void theJobsOwnValuesKeepWhatWasRefused() {
        Desk d;
        QVERIFY(d.window->goToJobValue("q_all"));
        auto* view = qobject_cast<QTableView*>(QApplication::focusWidget());
        QVERIFY(view != nullptr);
        const auto editor = [&]() -> views::CellEditor* {
            for (auto* e : view->viewport()->findChildren<views::CellEditor*>())
                if (!e->done) return e;
            return nullptr;
        };
        QTest::keyClick(view, Qt::Key_F2);
        QVERIFY(editor() != nullptr);
        auto* line = editor()->findChild<QLineEdit*>();
        QCOMPARE(line->text(), QStringLiteral("0.4 kN/m"));
        line->selectAll();
        QTest::keyClicks(line, QStringLiteral("0,5,5 kN"));
        QTest::keyClick(line, Qt::Key_Return);
        QVERIFY2(editor() != nullptr && editor()->isVisible(), "the editor stays open");
        QCOMPARE(line->text(), QStringLiteral("0,5,5 kN"));
        QVERIFY(!editor()->findChild<QLabel*>()->text().isEmpty());
        QVERIFY(told(d) != QString());
        QVERIFY(d.text().contains(QStringLiteral("q_all [kN/m] = 0.4 kN/m")));
        // Left, it waits there.
        view->setFocus();
        QTRY_VERIFY(editor() == nullptr);
        QVERIFY(view->currentIndex().data().toString().contains(QStringLiteral("refused: 0,5,5 kN")));
        QTest::keyClick(view, Qt::Key_F2);
        line = editor()->findChild<QLineEdit*>();
        QCOMPARE(line->text(), QStringLiteral("0,5,5 kN"));
        line->selectAll();
        QTest::keyClicks(line, QStringLiteral("0.5 kN/m"));
        QTest::keyClick(line, Qt::Key_Return);
        QTRY_VERIFY(d.text().contains(QStringLiteral("q_all [kN/m] = 0.5 kN/m")));
        QCOMPARE(view->currentIndex().data().toString(), QStringLiteral("0.5 kN/m"));
        QCOMPARE(told(d), QString());
    }

    void namesBetweenBackticksAreTypeset() {
        QCOMPARE(models::wordsOf("`bond_line` and `k_mod`"), QStringLiteral("\"bond_line\" and k_mod"));
        QCOMPARE(models::wordsOf("`sigma_m` of `J1.q_k`; `is` says layer, see `list layers`"),
                 QString::fromUtf8("σ_m of J1.q_k; \"is\" says layer, see \"list layers\""));
        const QString rich = views::richWords(QStringLiteral("`sigma_m` < `list <b>`"));
        QVERIFY2(rich.contains(QString::fromUtf8("<i>σ</i><sub>m</sub> &lt; <i>list &lt;b&gt;</i>")), qPrintable(rich));
        std::string sheet = shelf::kSheet;
        sheet.replace(sheet.find("-- section modulus"), 18, "-- of `b` and `h` ");
        sheet.replace(sheet.find("A thicker board helps."), 22, "A larger `h` helps.   ");
        LibraryDesk d(shelf::kJob, sheet);
        const QModelIndex at = d.at("S1", "W").siblingAtColumn(GridModel::WhatColumn);
        QCOMPARE(at.data().toString(), QStringLiteral("of b and h"));
        QCOMPARE(at.data(GridModel::WordsRole).toString(), QStringLiteral("of `b` and `h`"));
        QVERIFY(!d.at("S1", "M").siblingAtColumn(GridModel::WhatColumn).data(GridModel::WordsRole).isValid());
        d.go("S1", "W");
        for (const char* name : {"W", "bending"}) {
            d.go("S1", name);
            QVERIFY2(!d.window->working().shownText().contains(QLatin1Char('`')), qPrintable(d.window->working().shownText()));
        }
        QVERIFY(d.window->working().shownText().contains(QStringLiteral("A larger h helps.")));
        bool typeset = false;
        for (const QLabel* label : d.window->working().findChildren<QLabel*>())
            typeset = typeset || (label->isVisible() && label->textFormat() == Qt::RichText && label->text().contains(QStringLiteral("<i>h</i>")));
        QVERIFY(typeset);
    }

    void cautionsTakeFewLinesAndNeverNone() {
        Desk d;
        const QString wide = d.window->cautions().text();
        QVERIFY(wide.contains(QStringLiteral("For trials only.")));
        const auto back = qScopeGuard([&d] { d.window->setLetters(100); });
        d.window->setLetters(200);
        d.window->resize(1280, 720);
        QTest::qWait(80);
        const QString narrow = d.window->cautions().text();
        QVERIFY2(!narrow.isEmpty() && wide.startsWith(narrow), qPrintable(narrow));
        const auto* words = d.window->cautions().findChild<QLabel*>();
        QVERIFY2(words->height() <= words->fontMetrics().lineSpacing() * 2 + 8, qPrintable(QString::number(words->height())));
        QVERIFY(words->isVisible());
        // All of them by key.
        QTest::keyClick(d.window.get(), Qt::Key_F1, Qt::ShiftModifier);
        QTRY_VERIFY(QApplication::activeModalWidget() != nullptr);
        const auto* box = QApplication::activeModalWidget()->findChild<QPlainTextEdit*>();
        QVERIFY(box != nullptr);
        QTRY_VERIFY(box->hasFocus());
        const QString all = box->toPlainText();
        QVERIFY2(box->window()->height() <= d.window->height(), "seen whole, whatever there is to read");
        QVERIFY(all.contains(QStringLiteral("For trials only.")) && all.contains(narrow.section(QLatin1Char('.'), 0, 0)));
        QTest::keyClick(QApplication::activeModalWidget(), Qt::Key_Escape);
        d.window->setLetters(100);
        QTRY_COMPARE(d.window->cautions().text(), wide);
    }
};

SPANWRIGHT_QT_TEST(RefusalsTest);
#include "refusals_test.moc"
