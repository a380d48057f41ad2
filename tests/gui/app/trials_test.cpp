// SPDX-License-Identifier: MIT
// Trials in a real window, by key: how far, what weighs, what would do, tables, and pinning into the report.
#include <QAccessible>
#include <QAction>
#include <QClipboard>
#include <QLabel>
#include <QLineEdit>
#include <QListView>
#include <QListWidget>
#include <QPushButton>
#include <QSignalSpy>
#include <QTabBar>

#include "engine/trial/pinned.h"
#include "gui/app/paper_maker.h"
#include "gui/app/pinned_dialog.h"
#include "gui/app/vary_dialog.h"
#include "gui/views/drawing_view.h"
#include "gui/views/far_bar.h"
#include "gui/views/mends_view.h"
#include "gui/views/neighbour_list.h"
#include "gui/views/sentence_bar.h"
#include "gui/views/trial_glance.h"
#include "gui/views/working_panel.h"
#include "tests/gui/app/desk_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using app::VaryDialog;

namespace {

void fails(LibraryDesk& d) {
    QVERIFY(!d.window->session().setValue(*d.window->session().find("S1", "L"), QStringLiteral("2.4 m")));
    QCOMPARE(d.window->session().job().verdict(), job::Verdict::Fails);
}

/// What is shown and can be worked with, and has no name.
void nameless(QAccessibleInterface* node, QStringList& bad, int& seen) {
    if (node == nullptr || node->state().invisible) return;
    ++seen;
    const auto* widget = qobject_cast<QWidget*>(node->object());
    if (widget != nullptr && widget->focusPolicy() != Qt::NoFocus && widget->isVisible() && widget->isEnabled() &&
        node->text(QAccessible::Name).trimmed().isEmpty())
        bad << QLatin1String(widget->metaObject()->className()) + QStringLiteral(" ") + widget->objectName();
    for (int i = 0; i < std::min(node->childCount(), 60); ++i) nameless(node->child(i), bad, seen);
}

/// Labels of a window that are not given the room they need.
QStringList cut(const QWidget& top) {
    QStringList bad;
    for (const QLabel* l : top.findChildren<QLabel*>()) {
        if (!l->isVisible() || l->text().isEmpty()) continue;
        const bool high = l->wordWrap() ? l->height() + 1 < l->heightForWidth(l->width()) : l->height() + 1 < l->minimumSizeHint().height();
        if (high || (!l->wordWrap() && l->width() + 1 < l->minimumSizeHint().width())) bad << l->text();
    }
    for (const QPushButton* b : top.findChildren<QPushButton*>())
        if (b->isVisible() && b->width() + 1 < b->fontMetrics().size(Qt::TextShowMnemonic, b->text()).width()) bad << b->text();
    return bad;
}

} // namespace

class DeskTrialsTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void howFarAValueOfTheWholeJobCanGo() {
        LibraryDesk d;
        // There is a way to them as soon as the job is open.
        const auto* tabs = d.window->findChild<QTabBar*>(QStringLiteral("sheets"));
        QCOMPARE(tabs->tabText(tabs->count() - 1), QStringLiteral("The whole job"));
        QVERIFY(d.window->goToJobValue("q_all"));
        QVERIFY2(d.window->working().shownText().contains(QStringLiteral("the whole job: on every shelf")), qPrintable(d.window->working().shownText()));
        QVERIFY(d.window->working().shownText().contains(QStringLiteral("stated as q_all = 0.4 kN/m")));
        QVERIFY(d.window->working().shownText().contains(QStringLiteral("source: counted")));
        // It feeds the board that takes it, which leads there.
        views::NeighbourList& feeds = d.window->working().feeds();
        QCOMPARE(feeds.count(), 1);
        QVERIFY2(feeds.text(0).startsWith(QStringLiteral("S1.q = 0.4")), qPrintable(feeds.text(0)));
        // 2*q*1.2^2/8 kN·m over 30000 mm3 is 10 N/mm2 at q = 0.8333 kN/m; the post below carries up to 50 kN.
        views::TrialGlance& glance = d.window->glance();
        QTRY_VERIFY_WITH_TIMEOUT(glance.far().holds(), 30'000);
        QVERIFY2(glance.shownText().contains(QStringLiteral("0.833")), qPrintable(glance.shownText()));
        QVERIFY(glance.bar().isVisible());
        // An edit makes it out of date at once, then it is answered anew.
        QVERIFY(!d.window->session().setJobGiven(QStringLiteral("q_all"), QStringLiteral("0.5 kN/m")));
        QVERIFY(!glance.far().holds());
        QVERIFY(d.window->working().shownText().contains(QStringLiteral("stated as q_all = 0.5 kN/m")));
        QTRY_VERIFY_WITH_TIMEOUT(glance.far().holds(), 30'000);
        d.run("pinTrial");
        QVERIFY2(d.text().contains(QStringLiteral("trial   reach q_all")), qPrintable(d.text()));
        d.run("vary");
        QCOMPARE(d.window->varyDialog()->wish().fields.front().name, QStringLiteral("q_all"));
        d.window->varyDialog()->close();
        // Back in the grid it is of the cell again.
        d.go("S1", "L");
        QVERIFY(d.window->working().shownText().contains(QStringLiteral("S1: span")));
    }

    void howFarStandsBesideAStatedValue() {
        LibraryDesk d;
        d.go("S1", "L");
        auto& glance = d.window->glance();
        QTRY_VERIFY(glance.far().holds());
        QVERIFY(glance.bar().isVisible());
        QVERIFY(glance.shownText().contains(QStringLiteral("ended above by S1.bending")));
        QVERIFY(glance.bar().accessibleName().contains(QStringLiteral("passes from")));
        // Typed over by key: out of date at once, then right again.
        d.keys(QStringLiteral("1")); // opens the field, which takes the rest
        d.keys(QStringLiteral(".5"));
        d.key(Qt::Key_Return);
        QVERIFY(!glance.far().holds());
        QVERIFY(!glance.bar().accessibleName().contains(QStringLiteral("passes from")));
        d.go("S1", "L");
        QTRY_VERIFY(glance.far().holds());
        QVERIFY2(glance.bar().accessibleName().contains(QStringLiteral("now 1.5 m")), qPrintable(glance.bar().accessibleName()));
        // A derived value has no such part; a check has what weighs on it.
        d.go("S1", "M");
        QVERIFY(!glance.isVisible());
        d.go("S1", "bending");
        QTRY_COMPARE(glance.weights().rowCount(), 4);
        QVERIFY(!glance.bar().isVisible());
    }

    void fromACheckToWhatWeighsOnItByKey() {
        LibraryDesk d;
        d.go("S1", "bending");
        auto& glance = d.window->glance();
        QTRY_COMPARE(glance.weights().rowCount(), 4);
        glance.weightsView().setFocus();
        glance.weightsView().setCurrentIndex(glance.weights().index(0));
        d.key(Qt::Key_Return);
        const auto cell = d.window->gridView().currentCell();
        QVERIFY(cell);
        const std::string name = d.window->session().quantity(*cell).name;
        QVERIFY(name == "h" || name == "L");
        QTRY_VERIFY(d.window->gridView().members().hasFocus());
    }

    void aCheckSaysWhetherItHoldsWithinTheTolerances() {
        LibraryDesk d;
        d.go("S1", "bending");
        auto& glance = d.window->glance();
        QTRY_COMPARE(glance.weights().rowCount(), 4);
        QVERIFY(!glance.shownText().contains(QStringLiteral("Within the tolerances")));
        // 2*0.4*1.2^2/8 kN·m by 200*25^2/6 mm3 and 10 N/mm2 is 0.6912; by 18 mm 1.333, and 1 at 20.785 mm.
        QVERIFY(!d.window->session().setValue(*d.window->session().find("S1", "h"), QStringLiteral("30 mm +- 5 mm")));
        d.go("S1", "bending");
        QTRY_VERIFY2(glance.shownText().contains(QStringLiteral("All together: proved: never above 0.69")), qPrintable(glance.shownText()));
        QVERIFY2(glance.shownText().contains(QStringLiteral("h 30 mm +- 5 mm alone: the member passes for every h")), qPrintable(glance.shownText()));
        QVERIFY(!d.window->session().setValue(*d.window->session().find("S1", "h"), QStringLiteral("30 mm +- 12 mm")));
        QVERIFY(!glance.shownText().contains(QStringLiteral("proved")));
        d.go("S1", "bending");
        QTRY_VERIFY2(glance.shownText().contains(QStringLiteral("FAILS, worst seen 1.33")), qPrintable(glance.shownText()));
        QVERIFY2(glance.shownText().contains(QStringLiteral("starts to fail below h = 20.78 mm: bending")), qPrintable(glance.shownText()));
        QVERIFY2(glance.shownText().contains(QStringLiteral("Worst seen at h = 18 mm")), qPrintable(glance.shownText()));
        auto* pin = glance.findChild<QPushButton*>(QStringLiteral("pinTolerance"));
        QVERIFY(pin != nullptr && pin->isVisible());
        QTest::mouseClick(pin, Qt::LeftButton);
        QVERIFY2(d.text().contains(QStringLiteral("trial   sure S1")), qPrintable(d.text()));
        // A member without one, a derived value: nothing of it.
        d.go("S2", "bending");
        QVERIFY(!glance.shownText().contains(QStringLiteral("Within the tolerances")));
        d.go("S1", "M");
        QVERIFY(!glance.isVisible());
    }

    void aMendFromTheFailingCheckGoesIntoTheJob() {
        LibraryDesk d;
        fails(d);
        d.go("S1", "bending");
        auto& mends = d.window->glance().mends();
        QTRY_VERIFY(mends.mends().rowCount() > 0);
        QVERIFY(mends.list().isVisible());
        QVERIFY(mends.words().contains(QStringLiteral("Each alone makes all checks of S1 pass")));
        mends.list().setFocus();
        d.key(Qt::Key_Return);
        QVERIFY(d.window->session().job().member(0).verdict == job::Verdict::Ok);
        d.run("undo");
        QCOMPARE(d.window->session().job().member(0).verdict, job::Verdict::Fails);
    }

    void andFromTheListBehindTheSentence() {
        LibraryDesk d;
        fails(d);
        d.window->sentence().setOpen(true);
        auto& mends = d.window->sentenceMends();
        QTRY_VERIFY(mends.mends().rowCount() > 0);
        QVERIFY(mends.isVisible());
        mends.list().setFocus();
        d.key(Qt::Key_Return);
        QVERIFY(d.window->session().job().member(0).verdict == job::Verdict::Ok);
        // It is not about a member that does not fail.
        QTRY_VERIFY(!mends.isVisible());
    }

    void aTableByKey() {
        LibraryDesk d;
        d.go("S1", "h");
        d.run("vary");
        VaryDialog* dialog = d.window->varyDialog();
        QVERIFY(dialog != nullptr);
        QVERIFY(QTest::qWaitForWindowExposed(dialog));
        QCOMPARE(dialog->wish().fields[0].name, QStringLiteral("S1.h"));
        QCOMPARE(dialog->row(0).from->text(), QStringLiteral("20 mm"));
        QVERIFY(dialog->faultText().isEmpty());
        // A wrong end is told at its field, and nothing is begun.
        dialog->row(0).to->setFocus();
        dialog->row(0).to->selectAll();
        QTest::keyClicks(dialog->row(0).to, QStringLiteral("10 mm"));
        QTRY_VERIFY(dialog->faultText().contains(QStringLiteral("runs backwards")));
        QVERIFY(dialog->row(0).fault->isVisible());
        QVERIFY(dialog->row(0).to->accessibleDescription().contains(QStringLiteral("mend")));
        QTest::keyClick(dialog->row(0).to, Qt::Key_Return);
        QVERIFY(!dialog->bench().isRunning());
        dialog->row(0).to->selectAll();
        QTest::keyClicks(dialog->row(0).to, QStringLiteral("40 mm"));
        QTRY_VERIFY(dialog->faultText().isEmpty());
        QTest::keyClick(dialog->row(0).to, Qt::Key_Return);
        QTRY_VERIFY(dialog->bench().holds());
        QCOMPARE(dialog->table().model()->rowCount(), 11);
        QVERIFY(dialog->standing().contains(QStringLiteral("11 points")));
        QVERIFY(dialog->standing().contains(QStringLiteral("passes from")));
        QVERIFY(dialog->drawing().isVisible());
        // Typed over, the table is still of the fields as they were; it says so.
        dialog->row(0).by->setText(QStringLiteral("4 mm"));
        dialog->checkNow();
        QVERIFY(dialog->standing().startsWith(QStringLiteral("Of the fields as they were before")));
        dialog->row(0).by->setText(QStringLiteral("2 mm"));
        dialog->checkNow();
        QVERIFY(dialog->standing().startsWith(QStringLiteral("11 points")));
        dialog->copy();
        QVERIFY(QApplication::clipboard()->text().startsWith(QStringLiteral("h\tutil.")));
        const QString csv = d.dir.filePath(QStringLiteral("t.csv")), svg = d.dir.filePath(QStringLiteral("t.svg"));
        QVERIFY(dialog->saveAs(csv));
        QVERIFY(dialog->saveAs(svg));
        io::Disk disk;
        QVERIFY(disk.read(csv.toStdString()).value().find("S1.h [mm],verdict,utilisation") == 0);
        QVERIFY(disk.read(svg.toStdString()).value().find("<svg") != std::string::npos);
        // The window beside it goes on; the table of before is said to be out of date and cannot be copied.
        QVERIFY(!d.window->session().setValue(*d.window->session().find("S1", "b"), QStringLiteral("150")));
        QVERIFY(dialog->standing().contains(QStringLiteral("Out of date")));
        QVERIFY(!dialog->table().isEnabled());
        QVERIFY(!dialog->drawing().isVisible());
        QApplication::clipboard()->setText(QStringLiteral("kept"));
        dialog->copy();
        QCOMPARE(QApplication::clipboard()->text(), QStringLiteral("kept"));
        // Pinned: a row of the job.
        dialog->pin();
        QVERIFY(d.text().contains(QStringLiteral("trial   vary S1.h from 20 mm to 40 mm by 2 mm")));
        QTest::keyClick(dialog, Qt::Key_Escape);
        QTRY_VERIFY(d.window->varyDialog() == nullptr);
    }

    void aChoiceHasNoRange() {
        LibraryDesk d;
        d.go("S1", "wood");
        d.run("vary");
        VaryDialog* dialog = d.window->varyDialog();
        QVERIFY(dialog != nullptr);
        QVERIFY(!dialog->row(0).from->isEnabled());
        QVERIFY(dialog->faultText().isEmpty());
        dialog->workOut();
        QTRY_VERIFY(dialog->bench().holds());
        QCOMPARE(dialog->table().model()->rowCount(), 2);
        dialog->close();
    }

    void whatIsAskedOfAValueIsPinnedAndTakenOutAgain() {
        LibraryDesk d;
        const QString before = d.text();
        d.go("S1", "L");
        d.run("pinTrial");
        QVERIFY(d.text().contains(QStringLiteral("trial   reach S1.L\n")));
        d.go("S1", "bending");
        d.run("pinTrial");
        QVERIFY(d.text().contains(QStringLiteral("trial   weigh S1.bending\n")));
        d.go("S1", "M");
        QVERIFY(!d.window->action(QStringLiteral("pinTrial"))->isEnabled());
        QCOMPARE(trial::pinnedIn(d.window->session().job()).size(), std::size_t{2});
        LibraryDesk::inDialog<app::PinnedDialog>([](app::PinnedDialog& dialog) {
            QCOMPARE(dialog.list().count(), 2);
            QCOMPARE(dialog.list().item(0)->text(), QStringLiteral("reach S1.L"));
            dialog.takeOut();
            QCOMPARE(dialog.list().count(), 1);
            dialog.accept();
        });
        d.run("pinned");
        QVERIFY(!d.text().contains(QStringLiteral("reach S1.L")));
        for (int i = 0; i < 3; ++i) d.run("undo");
        QCOMPARE(d.text(), before);
    }

    void pinnedOnesAreWorkedOutForPaper() {
        LibraryDesk d(std::string(shelf::kJob) + "trial reach S1.L\ntrial weigh S1.nothing\n");
        app::PaperMaker maker;
        maker.read(d.window->session().otherCopy());
        maker.choose(app::PaperMaker::Choice());
        QTRY_VERIFY_WITH_TIMEOUT(maker.isReady() && maker.whole(), 60'000);
        const auto& results = maker.whole()->trials;
        QCOMPARE(results.size(), std::size_t{2});
        QVERIFY(std::holds_alternative<trial::Far>(results[0].result));
        QVERIFY(results[1].problem.has_value());
        QVERIFY(!results[0].leftOut);
    }

    void nothingIsCutAndEverythingIsNamed() {
        LibraryDesk d;
        fails(d);
        for (const int letters : {100, 200}) {
            d.window->setLetters(letters);
            for (const app::Theme theme : {app::Theme::Light, app::Theme::Dark}) {
                d.window->setTheme(theme);
                d.window->resize(1280, 720);
                for (const char* row : {"bending", "L"}) {
                    d.go("S1", row);
                    if (row[0] == 'b') QTRY_VERIFY(d.window->glance().mends().mends().rowCount() > 0);
                    if (row[0] == 'L') QTRY_VERIFY(d.window->glance().far().holds());
                    QTRY_VERIFY2(cut(*d.window).isEmpty(), qPrintable(cut(*d.window).join(QStringLiteral("; "))));
                }
                d.run("vary");
                VaryDialog* dialog = d.window->varyDialog();
                QVERIFY(QTest::qWaitForWindowExposed(dialog));
                dialog->workOut();
                QTRY_VERIFY(dialog->bench().holds());
                QTRY_VERIFY2(cut(*dialog).isEmpty(), qPrintable(QString::number(letters) + cut(*dialog).join(QStringLiteral("; "))));
                QVERIFY2(dialog->minimumSizeHint().width() <= 1280, qPrintable(QString::number(dialog->minimumSizeHint().width())));
                QVERIFY2(dialog->minimumSizeHint().height() <= 720, qPrintable(QString::number(dialog->minimumSizeHint().height())));
                QStringList bad;
                int seen = 0;
                nameless(QAccessible::queryAccessibleInterface(dialog), bad, seen);
                nameless(QAccessible::queryAccessibleInterface(&d.window->glance()), bad, seen);
                QVERIFY2(bad.isEmpty(), qPrintable(bad.join(QStringLiteral("; "))));
                QVERIFY(seen > 30);
                dialog->close();
                QTRY_VERIFY(d.window->varyDialog() == nullptr);
            }
        }
        d.window->setLetters(100);
        d.window->setTheme(app::Theme::Light);
    }
};

SPANWRIGHT_QT_TEST(DeskTrialsTest);
#include "trials_test.moc"
