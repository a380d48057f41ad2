// SPDX-License-Identifier: MIT
// Trials as models: asked beside the window, out of date at the first edit, never shown as holding when the job has changed.
#include <QAbstractItemModelTester>
#include <QSignalSpy>
#include <QTest>

#include <thread>

#include "engine/report/trial_document.h"
#include "engine/trial/pinned.h"
#include "gui/models/asking.h"
#include "gui/models/document_table.h"
#include "gui/models/far_model.h"
#include "gui/models/mend_list.h"
#include "gui/models/text.h"
#include "gui/models/vary_bench.h"
#include "gui/models/weight_list.h"
#include "tests/gui/shelf_job.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using namespace spanwright::models;
using Where = VaryFault::Where;

namespace {

VaryWish wishOf(VaryField field) { return {{std::move(field)}, {}, std::nullopt, {}}; }

} // namespace

class TrialsTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void aRunThatIsGivenUpIsNeverTold() {
        AsideRun run;
        QSignalSpy done(&run, &AsideRun::finished), told(&run, &AsideRun::progressed);
        int taken = 0;
        std::atomic<bool> gaveUp{false};
        run.start([&](const trial::Control& control) -> AsideRun::Take {
            while (control.progress(1, 2)) std::this_thread::sleep_for(std::chrono::milliseconds(1));
            gaveUp = true;
            return [&] { taken = 1; };
        });
        QVERIFY(run.isRunning());
        QTRY_COMPARE(told.count(), 1);
        QCOMPARE(told.front().front().toInt(), 500);
        run.start([&](const trial::Control&) -> AsideRun::Take { return [&] { taken = 2; }; });
        QTRY_COMPARE(done.count(), 1);
        QCOMPARE(taken, 2);
        QTRY_VERIFY(gaveUp);
        QTest::qWait(30);
        QCOMPARE(taken, 2);
        QVERIFY(!run.isRunning());
    }

    void howFarHoldsUntilTheJobChanges() {
        const auto session = shelf::open();
        FarModel model(*session);
        model.showCell(session->find("S1", "L"));
        QCOMPARE(model.asking().state(), Asking::State::Nothing); // nobody looks
        model.asking().setActive(true);
        QCOMPARE(model.asking().state(), Asking::State::Waiting);
        QVERIFY(!model.holds());
        QTRY_VERIFY(model.holds());
        // sigma grows with the square of the span: 4.8 at 1.2 m, 10 at 1.2 m * sqrt(10/4.8).
        const trial::Far& f = *model.far();
        QCOMPARE(f.far.stretches.size(), std::size_t{1});
        QVERIFY(std::fabs(f.far.stretches[0].to - 1.2 * std::sqrt(10 / 4.8)) < 1e-3);
        QVERIFY(f.far.stretches[0].to <= 1.2 * std::sqrt(10 / 4.8));
        QVERIFY(model.words().join(QLatin1Char(' ')).contains(QStringLiteral("ended above by S1.bending")));
        QVERIFY(model.words().join(QLatin1Char(' ')).contains(QStringLiteral("checks of S1, P1 together")));
        // The very edit makes it out of date, before anything is worked out anew.
        QSignalSpy changed(&model, &FarModel::changed);
        QVERIFY(!session->setValue(*session->find("S1", "h"), QStringLiteral("36")));
        QVERIFY(!model.holds());
        QVERIFY(changed.count() > 0);
        QVERIFY(model.words().first().contains(QStringLiteral("Out of date")));
        QVERIFY(!model.words().join(QLatin1Char(' ')).contains(QStringLiteral("passes from")));
        QTRY_VERIFY(model.holds());
        QVERIFY(std::fabs(model.far()->far.stretches[0].to - 1.2 * 1.2 * std::sqrt(10 / 4.8)) < 1e-3);
        session->undoStack().undo();
        QVERIFY(!model.holds());
        // Not looked at, nothing is worked out.
        model.asking().setActive(false);
        QTest::qWait(200);
        QVERIFY(!model.holds());
    }

    void whileAnEditIsWorkedOutAsideNothingHolds() {
        const auto session = shelf::open();
        session->setPatience(std::chrono::milliseconds(0));
        session->workAside();
        QTRY_VERIFY(session->isAside());
        FarModel model(*session);
        model.asking().setActive(true);
        model.showCell(session->find("S1", "L"));
        QTRY_VERIFY(model.holds());
        bool heldWhilePending = false;
        connect(&model, &FarModel::changed, this, [&] { heldWhilePending = heldWhilePending || (session->isPending() && model.holds()); });
        QVERIFY(!session->setValue(*session->find("S1", "h"), QStringLiteral("36")));
        QVERIFY(!model.holds());
        QTRY_VERIFY(!session->isPending());
        QTRY_VERIFY(model.holds());
        QVERIFY(!heldWhilePending);
        QVERIFY(std::fabs(model.far()->far.stretches[0].to - 1.2 * 1.2 * std::sqrt(10 / 4.8)) < 1e-3);
    }

    void aValueOnTheEndIsNotSaidToFail() {
        const auto session = shelf::open();
        FarModel model(*session);
        model.asking().setActive(true);
        // Held by L <= 3 m alone, and at just that.
        for (const auto& [name, typed] : {std::pair("wood", "hard"), std::pair("h", "90 mm"), std::pair("L", "3 m")})
            QVERIFY(!session->setValue(*session->find("S1", name), QString::fromLatin1(typed)));
        QCOMPARE(session->job().member(*session->job().memberByMark("S1")).verdict, job::Verdict::Ok);
        model.showCell(session->find("S1", "L"));
        QTRY_VERIFY(model.holds());
        const QString words = model.words().join(QLatin1Char(' '));
        QVERIFY2(!words.contains(QStringLiteral("does not pass")), qPrintable(words));
        QVERIFY2(words.contains(QStringLiteral("to 3 m")) && words.contains(QStringLiteral("ended above by")), qPrintable(words));
        // Beyond it, it is.
        QVERIFY(!session->setValue(*session->find("S1", "L"), QStringLiteral("3.001 m")));
        QTRY_VERIFY(model.holds());
        QVERIFY(model.words().join(QLatin1Char(' ')).contains(QStringLiteral("does not pass")));
    }

    void ofAChoiceWhichRowsPass() {
        const auto session = shelf::open();
        FarModel model(*session);
        model.asking().setActive(true);
        QVERIFY(!session->setValue(*session->find("S1", "L"), QStringLiteral("2.2 m"))); // 16.1 N/mm^2
        model.showCell(session->find("S1", "wood"));
        QTRY_VERIFY(model.holds());
        QVERIFY(model.far()->ofOptions);
        QVERIFY(model.words().contains(QStringLiteral("passes: hard")));
        QVERIFY(model.words().contains(QStringLiteral("does not pass: soft")));
        QVERIFY(!FarModel::canAsk(*session, *session->find("S1", "M")));
        QVERIFY(!FarModel::canAsk(*session, *session->find("S2", "wood"))); // not stated
        QVERIFY(!FarModel::canAsk(*session, *session->find("S1", "bending")));
    }

    void whatWeighsIsRankedAndLeadsToItsValue() {
        const auto session = shelf::open();
        WeightList list(*session);
        QAbstractItemModelTester tester(&list, QAbstractItemModelTester::FailureReportingMode::QtTest);
        list.asking().setActive(true);
        list.showCell(session->find("S1", "bending"));
        QTRY_COMPARE(list.rowCount(), 4);
        QStringList all;
        for (int i = 0; i < 4; ++i) all << list.index(i).data().toString();
        all.sort();
        QCOMPARE(all, (QStringList{QStringLiteral("+1 %  q_all"), QStringLiteral("+2 %  L"), QStringLiteral("-1 %  b"), QStringLiteral("-2 %  h")}));
        for (int i = 0; i < 4; ++i) {
            QVERIFY(list.index(i).data(WeightList::ExactRole).toBool());
            if (list.index(i).data(WeightList::NameRole).toString() == QStringLiteral("q_all")) QVERIFY(list.spot(i).mark.empty());
            if (list.index(i).data(WeightList::NameRole).toString() == QStringLiteral("h"))
                QCOMPARE(list.index(i).data(WeightList::ShareRole).toDouble(), -1.0);
        }
        QVERIFY(!session->setValue(*session->find("S1", "h"), QStringLiteral("36")));
        QCOMPARE(list.rowCount(), 0); // nothing of before stands there
        QTRY_COMPARE(list.rowCount(), 4);
    }

    void aMendIsOneEditThatUndoTakesBack() {
        const auto session = shelf::open();
        MendList list(*session);
        QAbstractItemModelTester tester(&list, QAbstractItemModelTester::FailureReportingMode::QtTest);
        list.asking().setActive(true);
        const std::size_t s1 = session->find("S1", "L")->member;
        list.showMember(s1);
        QTest::qWait(200);
        QCOMPARE(list.rowCount(), 0);
        QVERIFY(list.words().isEmpty()); // it does not fail
        QVERIFY(!session->setValue(*session->find("S1", "L"), QStringLiteral("2.4 m")));
        QCOMPARE(session->job().member(s1).verdict, job::Verdict::Fails);
        QTRY_VERIFY(list.rowCount() >= 3);
        QStringList all;
        int hard = -1;
        for (int i = 0; i < list.rowCount(); ++i) {
            all << list.index(i).data().toString();
            if (all.last() == QStringLiteral("wood hard")) hard = i;
        }
        QVERIFY2(hard >= 0, qPrintable(all.join(QStringLiteral("; "))));
        QVERIFY(all.contains(QStringLiteral("L <= 1.732 m")));
        const std::string before = shelf::text(*session);
        QVERIFY(!list.putIntoJob(hard));
        QCOMPARE(session->job().member(s1).verdict, job::Verdict::Ok);
        QVERIFY(shelf::text(*session).find("with  wood = hard") != std::string::npos);
        QCOMPARE(list.rowCount(), 0);
        QVERIFY(list.putIntoJob(0).has_value()); // refused: it is of another job
        session->undoStack().undo();
        QCOMPARE(shelf::text(*session), before);
        // Too long for a requirement as well: a thicker board alone is not enough then.
        QVERIFY(!session->setValue(*session->find("S1", "L"), QStringLiteral("3.2 m")));
        QTRY_VERIFY(list.rowCount() >= 2);
        QVERIFY2(list.words().startsWith(QStringLiteral("Each alone makes all checks of S1 pass:")), qPrintable(list.words()));
        QVERIFY(list.index(0).data().toString().startsWith(QStringLiteral("L <= ")));
        QVERIFY(list.index(0).data(MendList::NowRole).toString().startsWith(QStringLiteral("now 3.2 m")));
        for (int i = 1; i < list.rowCount(); ++i)
            QVERIFY2(list.index(i).data(MendList::NowRole).toString().startsWith(QStringLiteral("then NOT PROVEN; now ")),
                     qPrintable(list.index(i).data().toString()));
    }

    void whatIsWrongWithARangeIsSaidOfItsField_data() {
        QTest::addColumn<QStringList>("typed"); // name, from, to, by, list
        QTest::addColumn<int>("where");
        const auto row = [](const char* name, QStringList typed, Where where) { QTest::newRow(name) << typed << static_cast<int>(where); };
        const auto s = [](const char* t) { return QString::fromUtf8(t); };
        row("nothing", {s(""), s(""), s(""), s(""), s("")}, Where::Name);
        row("no such value", {s("S1.hh"), s("1 m"), s("2 m"), s(""), s("")}, Where::Name);
        row("a derived one", {s("S1.M"), s("1"), s("2"), s(""), s("")}, Where::Name);
        row("a range in the name", {s("S1.h from 20 mm to 30 mm"), s(""), s(""), s(""), s("")}, Where::Name);
        row("no beginning", {s("S1.h"), s(""), s("40 mm"), s(""), s("")}, Where::From);
        row("no number", {s("S1.h"), s("tall"), s("40 mm"), s(""), s("")}, Where::From);
        row("another dimension", {s("S1.h"), s("20 mm"), s("4 kN"), s(""), s("")}, Where::To);
        row("backwards", {s("S1.h"), s("40 mm"), s("20 mm"), s("1 mm"), s("")}, Where::To);
        row("empty", {s("S1.h"), s("40 mm"), s("40 mm"), s(""), s("")}, Where::To);
        row("no step", {s("S1.h"), s("20 mm"), s("40 mm"), s("0 mm"), s("")}, Where::By);
        row("too many", {s("S1.h"), s("20 mm"), s("40 mm"), s("0.000001 mm"), s("")}, Where::By);
        row("a hole in the list", {s("S1.h"), s(""), s(""), s(""), s("20 mm,, 30 mm")}, Where::List);
        row("no such row", {s("S1.wood"), s(""), s(""), s(""), s("soft, medium")}, Where::List);
    }
    void whatIsWrongWithARangeIsSaidOfItsField() {
        QFETCH(QStringList, typed);
        QFETCH(int, where);
        const auto session = shelf::open();
        VaryBench bench(*session);
        const VaryField f{typed[0], typed[1], typed[2], typed[3], typed[4]};
        const auto fault = bench.check(wishOf(f));
        QVERIFY(fault);
        QCOMPARE(static_cast<int>(fault->where), where);
        QVERIFY(!fault->message.isEmpty());
        QVERIFY(!fault->mend.isEmpty());
        QVERIFY(bench.start(wishOf(f)).has_value());
        QVERIFY(!bench.isRunning());
    }

    void aTableIsWorkedOutBesideAndGoesOutOfDate() {
        const auto session = shelf::open();
        VaryBench bench(*session);
        QSignalSpy changed(&bench, &VaryBench::changed);
        VaryWish wish = wishOf({QStringLiteral("S1.h"), QStringLiteral("20"), QStringLiteral("40 mm"), QStringLiteral("2 mm"), {}});
        wish.show = QStringLiteral("S1.sigma, S1.bending");
        QVERIFY(!bench.check(wish));
        QVERIFY(!bench.start(wish));
        QVERIFY(bench.isRunning());
        QTRY_VERIFY(bench.holds());
        QCOMPARE(bench.table()->results.points, std::size_t{11});
        QCOMPARE(bench.table()->boundaries.size(), std::size_t{1});
        DocumentTable rows;
        QAbstractItemModelTester tester(&rows, QAbstractItemModelTester::FailureReportingMode::QtTest);
        rows.setTable(report::varyTable(*bench.table()));
        QCOMPARE(rows.rowCount(), 11);
        QVERIFY(rows.tabbed().startsWith(QStringLiteral("h\tutil.\tverdict\tgoverning\tsigma\tbending\n20 mm\t")));
        QVERIFY(rows.index(0, 2).data(DocumentTable::StampRole).isValid());
        // An edit, any edit of the job, and the table is of another job.
        QVERIFY(!session->setValue(*session->find("P1", "A"), QStringLiteral("6000")));
        QVERIFY(!bench.holds());
        QVERIFY(bench.table());
        // An edit while it is worked out ends it without a result.
        QVERIFY(!bench.start(wish));
        QVERIFY(!session->setValue(*session->find("P1", "A"), QStringLiteral("7000")));
        QVERIFY(!bench.isRunning());
        QTest::qWait(60);
        QVERIFY(!bench.holds());
    }

    void spanTablesAndChoices() {
        const auto session = shelf::open();
        VaryBench bench(*session);
        VaryWish wish{{{QStringLiteral("S1.wood"), {}, {}, {}, {}}, {QStringLiteral("S1.h"), {}, {}, {}, QStringLiteral("20 mm, 30 mm")}, {}},
                      {},
                      trial::Aim::Largest,
                      QStringLiteral("S1.L")};
        QVERIFY(!bench.check(wish));
        QVERIFY(!bench.start(wish));
        QTRY_VERIFY(bench.holds());
        QCOMPARE(bench.table()->results.points, std::size_t{4});
        QVERIFY(std::fabs(bench.table()->reached[1].answer - 1.2 * std::sqrt(10 / 4.8)) < 1e-4);
        wish.reach = QStringLiteral("S1.h");
        QCOMPARE(static_cast<int>(bench.check(wish)->where), static_cast<int>(Where::Reach));
        wish.aim.reset();
        wish.show = QStringLiteral("S1.nothing");
        QCOMPARE(static_cast<int>(bench.check(wish)->where), static_cast<int>(Where::Show));
    }

    void proposalsAreRoundAndCanBeWorkedOut() {
        const auto session = shelf::open();
        VaryBench bench(*session);
        int numbers = 0;
        for (const Variable& v : bench.variables()) {
            const VaryField f = bench.proposalFor(v.name);
            QCOMPARE(f.from.isEmpty(), v.choice);
            if (v.name == QStringLiteral("S1.h")) {
                QCOMPARE(f.from, QStringLiteral("20 mm"));
                QCOMPARE(f.to, QStringLiteral("40 mm"));
                QCOMPARE(f.by, QStringLiteral("2 mm"));
            }
            const auto fault = bench.check(wishOf(f));
            // A linked value can be varied like any other; only what reaches nothing cannot.
            QVERIFY2(!fault, qPrintable(v.name + QStringLiteral(": ") + (fault ? fault->message : QString())));
            ++numbers;
        }
        QVERIFY(numbers >= 10);
    }

    void pinnedOnceAndTakenBackByUndo() {
        const auto session = shelf::open();
        VaryBench bench(*session);
        const std::string before = shelf::text(*session);
        const VaryWish wish = wishOf({QStringLiteral("S1.h"), QStringLiteral("20 mm"), QStringLiteral("40 mm"), QStringLiteral("2 mm"), {}});
        QVERIFY(!bench.pin(wish));
        QVERIFY(shelf::text(*session).find("trial   vary S1.h from 20 mm to 40 mm by 2 mm\n") != std::string::npos);
        QVERIFY(bench.pin(wish).has_value());
        VaryWish many = wish;
        many.fields[0].by = QStringLiteral("0.001 mm");
        QVERIFY(bench.pin(many).has_value());
        QCOMPARE(trial::pinnedIn(session->job()).size(), std::size_t{1});
        session->undoStack().undo();
        QCOMPARE(shelf::text(*session), before);
    }
};

SPANWRIGHT_QT_TEST(TrialsTest);
#include "trials_test.moc"
