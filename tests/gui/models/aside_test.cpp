// SPDX-License-Identifier: MIT
// Edits that are worked out aside: what is shown meanwhile, and that it comes to the same in the end.
#include <QAbstractItemModelTester>
#include <QSignalSpy>
#include <QTest>

#include <random>

#include "gui/models/grid_model.h"
#include "gui/models/standing.h"
#include "tests/gui/shelf_job.h"
#include "tests/gui/slow_job.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using namespace spanwright::models;
using std::chrono::milliseconds;

namespace {

constexpr int kCases = 1500;

struct Slow {
    io::Memory* memory = nullptr;
    std::unique_ptr<JobSession> session;
    std::unique_ptr<GridModel> grid;
    std::unique_ptr<QAbstractItemModelTester> tester;

    explicit Slow(int cases = kCases, const char* jobText = slow::kJob) {
        auto files = slow::files(cases);
        files->files["shed/job.spanjob"] = jobText;
        memory = files.get();
        session = std::make_unique<JobSession>(QStringLiteral("lib"), std::move(files));
        session->open(QStringLiteral("shed/job.spanjob"));
        grid = std::make_unique<GridModel>(*session);
        tester = std::make_unique<QAbstractItemModelTester>(grid.get(), QAbstractItemModelTester::FailureReportingMode::QtTest);
        session->setPatience(milliseconds(0));
        session->workAside();
        QTRY_VERIFY_WITH_TIMEOUT(session->isAside(), 20'000);
    }
    CellId cell(const char* mark, const char* name) { return *session->find(mark, name); }
    Outcome set(const char* mark, const char* name, const char* text) { return session->setValue(cell(mark, name), QString::fromUtf8(text)); }
    QModelIndex at(const char* mark, const char* name) { return grid->indexOf(cell(mark, name)); }
    void settle() { QTRY_VERIFY_WITH_TIMEOUT(!session->isPending(), 30'000); }
};

/// All that is shown, by mark and name.
QStringList allShown(const JobSession& s) {
    QStringList out;
    for (std::size_t m = 0; m < s.job().memberCount(); ++m) {
        const job::MemberView& view = s.job().member(m);
        out << QString::fromStdString(view.mark) + QStringLiteral(" ") + GridModel::verdictWord(view.verdict);
        for (const job::QuantityView& q : view.quantities)
            out << QString::fromStdString(view.mark + "." + q.name + " = " + q.shown + " " + q.statedText + " " + q.reason);
        for (const job::CheckView& c : view.checks) out << QString::fromStdString(c.name) + GridModel::checkWord(c.state);
    }
    return out;
}

/// The same of a job that is opened from the texts as they are.
QStringList fresh(const JobSession& s, const io::Memory& memory) {
    auto files = std::make_unique<io::Memory>();
    files->files = memory.files;
    for (const std::string& file : s.filesTouched()) files->files[file] = *s.text(file);
    JobSession other(s.library(), std::move(files));
    other.open(s.path());
    return allShown(other);
}

} // namespace

class AsideTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void verdictsOfThoseWhoTakeValuesAreOutOfDateToo() {
        // What S2 takes does not depend on the span of S1, but S2 is worth no more than S1.
        Slow s(kCases, "job Slow\nmember S1 = slow\n with L = 1.2 m\nmember S2 = slow\n with L = S1.b*6\nmember S3 = slow\n with L = 1.5 m\n");
        const int taker = s.at("S2", "L").column(), other = s.at("S3", "L").column();
        const auto head = [&](int column, int role) { return s.grid->headerData(column, Qt::Horizontal, role); };
        QCOMPARE(head(taker, GridModel::VerdictRole).toInt(), static_cast<int>(job::Verdict::Ok));
        QCOMPARE(head(other, GridModel::VerdictRole).toInt(), static_cast<int>(job::Verdict::Ok));
        QSignalSpy heads(s.grid.get(), &QAbstractItemModel::headerDataChanged);
        const auto toldOf = [&](int column) {
            return std::any_of(heads.begin(), heads.end(), [&](const QList<QVariant>& h) { return h[1].toInt() <= column && column <= h[2].toInt(); });
        };
        QVERIFY(!s.set("S1", "L", "9 m"));
        QVERIFY(s.session->isPending());
        QVERIFY(head(taker, GridModel::OutOfDateRole).toBool());
        QVERIFY(!s.session->outOfDate(s.cell("S2", "most")));
        QVERIFY(!head(other, GridModel::OutOfDateRole).toBool());
        QVERIFY(toldOf(taker));
        QVERIFY(!toldOf(other));
        head(taker, GridModel::VerdictRole); // painted meanwhile
        heads.clear();
        s.settle();
        QVERIFY(!head(taker, GridModel::OutOfDateRole).toBool());
        QCOMPARE(head(taker, GridModel::VerdictRole).toInt(), static_cast<int>(job::Verdict::NotProven));
        QCOMPARE(head(other, GridModel::VerdictRole).toInt(), static_cast<int>(job::Verdict::Ok));
        QVERIFY(toldOf(taker));
        QVERIFY(!toldOf(other));
    }

    void oldValuesAreShownAsOutOfDateUntilTheNewOnesCome() {
        Slow s;
        const QString before = s.at("S1", "most").data().toString();
        QSignalSpy changed(s.grid.get(), &QAbstractItemModel::dataChanged);
        QSignalSpy pending(s.session.get(), &JobSession::pendingChanged);
        QVERIFY(!s.set("S1", "L", "2.4"));
        QVERIFY2(s.session->isPending(), "the edit was worked out at once: the slow sheet is too quick");
        QCOMPARE(pending.count(), 1);
        QVERIFY(changed.count() > 0);
        // What the edit reaches is out of date, what it does not reach holds.
        for (const char* name : {"L", "area", "most", "room"}) QVERIFY2(s.at("S1", name).data(GridModel::OutOfDateRole).toBool(), name);
        for (const char* name : {"b", "b_2", "broad"}) QVERIFY2(!s.at("S1", name).data(GridModel::OutOfDateRole).toBool(), name);
        QVERIFY(!s.at("S2", "most").data(GridModel::OutOfDateRole).toBool());
        QCOMPARE(s.at("S1", "most").data().toString(), before);
        QVERIFY(s.at("S1", "room").data(Qt::AccessibleTextRole).toString().contains(QStringLiteral("out of date")));
        QVERIFY(s.at("S1", "room").data(Qt::ToolTipRole).toString().contains(QStringLiteral("out of date")));
        QVERIFY(s.grid->headerData(GridModel::FirstMember, Qt::Horizontal, GridModel::OutOfDateRole).toBool());
        QVERIFY(!s.grid->headerData(GridModel::FirstMember + 1, Qt::Horizontal, GridModel::OutOfDateRole).toBool());
        QVERIFY(!s.grid->headerData(GridModel::FirstMember, Qt::Horizontal, Qt::AccessibleTextRole).toString().contains(QStringLiteral("OK")));
        QVERIFY(standingOf(*s.session).sentence.startsWith(QStringLiteral("Being worked out")));
        // What was typed stands in its cell; the text has it at once.
        QCOMPARE(s.at("S1", "L").data().toString(), QStringLiteral("2.4"));
        QVERIFY(s.session->text("shed/job.spanjob")->find("L = 2.4 m") != std::string::npos);
        QVERIFY(s.session->isModified());
        // An old value is not ticked.
        QVERIFY(s.session->addTick(s.cell("S1", "most"), QStringLiteral("AB"), QStringLiteral("2026-05-04")).has_value());

        s.settle();
        QCOMPARE(pending.count(), 2);
        QVERIFY(s.at("S1", "most").data().toString() != before);
        QVERIFY(!s.at("S1", "most").data(GridModel::OutOfDateRole).toBool());
        QVERIFY(s.at("S1", "most").data(GridModel::ChangedRole).toBool());
        QVERIFY(s.at("S1", "most").data(GridModel::OldRole).toString().startsWith(before));
        QVERIFY(!s.at("S2", "most").data(GridModel::ChangedRole).toBool());
        QVERIFY(!standingOf(*s.session).sentence.startsWith(QStringLiteral("Being worked out")));
        QCOMPARE(allShown(*s.session), fresh(*s.session, *s.memory));
    }

    void editsMeanwhileBeginItAnew() {
        Slow s;
        QVERIFY(!s.set("S1", "L", "2.4"));
        QVERIFY(!s.set("S1", "b", "300"));
        QVERIFY(!s.set("S2", "L", "3 m"));
        // A refusal is told at once and changes nothing.
        QVERIFY(s.set("S2", "L", "2 kg").has_value());
        QVERIFY(s.set("S2", "L", "50 m").has_value());
        QVERIFY(s.session->isPending());
        QVERIFY(s.at("S1", "broad").data(GridModel::OutOfDateRole).toBool());
        s.session->undoStack().undo();
        s.settle();
        QCOMPARE(s.at("S1", "b").data().toString(), QStringLiteral("300"));
        QCOMPARE(s.at("S1", "L").data().toString(), QStringLiteral("2.4"));
        QCOMPARE(s.at("S2", "L").data().toString(), QStringLiteral("1.5"));
        QCOMPARE(allShown(*s.session), fresh(*s.session, *s.memory));
        // All of it can be taken back, byte for byte.
        s.session->undoStack().undo();
        s.session->undoStack().undo();
        s.settle();
        QCOMPARE(*s.session->text("shed/job.spanjob"), std::string(slow::kJob));
        QVERIFY(!s.session->isModified());
        QCOMPARE(allShown(*s.session), fresh(*s.session, *s.memory));
    }

    void savingMeanwhileSavesTheEdit() {
        Slow s;
        QVERIFY(!s.set("S1", "L", "2.4"));
        QVERIFY(s.session->isPending());
        QVERIFY(!s.session->save());
        QVERIFY(s.memory->files["shed/job.spanjob"].find("L = 2.4 m") != std::string::npos);
        QVERIFY(!s.session->isModified());
        s.settle();
        QVERIFY(!s.session->isModified());
        // The other copy knows of it too, and writes nothing by itself.
        QVERIFY(!s.set("S1", "b", "250"));
        s.settle();
        QVERIFY(s.session->isModified());
        QVERIFY(!s.session->save());
        QVERIFY(!s.set("S1", "b", "200 mm"));
        QVERIFY(!s.set("S1", "b", ""));
        s.settle();
        const auto writes = std::count_if(s.memory->log.begin(), s.memory->log.end(), [](const std::string& l) { return l.rfind("write", 0) == 0; });
        QCOMPARE(writes, 2);
        QVERIFY(s.memory->files["shed/job.spanjob"].find("b = 250 mm") != std::string::npos);
    }

    void membersComeMeanwhile() {
        Slow s;
        QVERIFY(!s.set("S1", "L", "2.4"));
        QVERIFY(!s.session->edit(QStringLiteral("copy"), [](job::Job& j) { return j.duplicateMember("S1", "S3"); }));
        QVERIFY(s.session->isPending());
        QVERIFY(s.at("S2", "broad").data(GridModel::OutOfDateRole).toBool());
        QSignalSpy reset(s.grid.get(), &QAbstractItemModel::modelReset);
        s.settle();
        QCOMPARE(reset.count(), 1);
        QVERIFY(s.session->job().memberByMark("S3").has_value());
        QCOMPARE(s.at("S3", "L").data().toString(), QStringLiteral("2.4"));
        QCOMPARE(allShown(*s.session), fresh(*s.session, *s.memory));
    }

    void whoMustWaitCanWait() {
        Slow s;
        QVERIFY(!s.set("S1", "L", "2.4"));
        QVERIFY(s.session->isPending());
        s.session->finish();
        QVERIFY(!s.session->isPending());
        QCOMPARE(s.at("S1", "L").data().toString(), QStringLiteral("2.4"));
        QCOMPARE(allShown(*s.session), fresh(*s.session, *s.memory));
    }

    void endsInTheMiddleOfIt() {
        {
            Slow s;
            QVERIFY(!s.set("S1", "L", "2.4"));
            QVERIFY(s.session->isPending());
        }
        Slow s;
        QVERIFY(!s.set("S1", "L", "2.4"));
        s.session->reload();
        QVERIFY(!s.session->isPending());
        QCOMPARE(s.at("S1", "L").data().toString(), QStringLiteral("1.2"));
    }

    void comesByItselfWhereWorkingOutTakesLong() {
        auto session = std::make_unique<JobSession>(QStringLiteral("lib"), slow::files(4 * kCases));
        session->open(QStringLiteral("shed/job.spanjob"));
        QTRY_VERIFY_WITH_TIMEOUT(session->isAside(), 20'000);
        // And not where it does not.
        auto quick = shelf::open();
        QVERIFY(!quick->setValue(*quick->find("S1", "L"), QStringLiteral("2 m")));
        QVERIFY(!quick->isAside());
        QVERIFY(!quick->isPending());
    }

    void anyEditsComeToTheSameAsAFreshJob() {
        auto files = shelf::files();
        io::Memory* memory = files.get();
        JobSession session(QStringLiteral("lib"), std::move(files));
        session.open(QStringLiteral("shed/job.spanjob"));
        GridModel grid(session);
        QAbstractItemModelTester tester(&grid, QAbstractItemModelTester::FailureReportingMode::QtTest);
        session.setPatience(milliseconds(0));
        session.workAside();
        std::mt19937 random(11);
        const char* const marks[] = {"S1", "S2", "P1"};
        const char* const names[] = {"L", "b", "h", "q", "wood", "N"};
        const char* const values[] = {"1.4 m", "250 mm", "15 mm", "0.7 kN/m", "hard", "q_all", "S1.R", "3 kg", "", "2*S1.R"};
        for (int round = 0; round < 200; ++round) {
            switch (random() % 8) {
            case 0: session.undoStack().undo(); break;
            case 1: session.undoStack().redo(); break;
            case 2:
                if (random() % 3 == 0) (void)session.save();
                break;
            case 3: QTest::qWait(static_cast<int>(random() % 3)); break;
            default:
                if (const auto cell = session.find(marks[random() % 3], names[random() % 6]))
                    (void)session.setValue(*cell, QString::fromUtf8(values[random() % 10]));
            }
            if (round % 10 != 9) continue;
            session.finish();
            const QStringList shown = allShown(session), again = fresh(session, *memory);
            for (int i = 0; i < std::min(shown.size(), again.size()); ++i) QCOMPARE(shown[i], again[i]);
            QCOMPARE(shown.size(), again.size());
            const bool modified = *session.text("shed/job.spanjob") != memory->files["shed/job.spanjob"];
            QCOMPARE(session.isModified(), modified);
        }
    }

    void anyEditsOfASlowJobComeToTheSameAsAFreshJob() {
        // Slow enough that nearly every edit finds the one before it still being worked out.
        Slow s(kCases / 5);
        std::mt19937 random(29);
        const char* const names[] = {"L", "b", "none"};
        const char* const values[] = {"1.1 m", "2.7 m", "350 mm", "30 mm", "S1.L", "S2.b", "5 kg", "", "400 ft"};
        int interrupted = 0, undone = 0, saved = 0;
        // How often an edit comes meanwhile is for the machine to say: go on until it was often enough.
        const auto oftenEnough = [&] { return interrupted > 30 && undone > 2 && saved > 0; };
        for (int round = 0; round < 120 || (!oftenEnough() && round < 1'200); ++round) {
            const QString mark = QStringLiteral("S%1").arg(1 + random() % 2);
            if (s.session->isPending()) ++interrupted;
            switch (random() % 10) {
            case 0:
            case 1:
                if (s.session->isPending() && s.session->undoStack().canUndo()) ++undone;
                s.session->undoStack().undo();
                break;
            case 2: s.session->undoStack().redo(); break;
            case 3:
                if (s.session->isPending()) ++saved;
                QVERIFY(!s.session->save());
                QCOMPARE(s.memory->files["shed/job.spanjob"], *s.session->text("shed/job.spanjob"));
                break;
            case 4: QTest::qWait(static_cast<int>(random() % 25)); break;
            case 5:
                // A whole member more, or one less.
                if (s.session->job().memberByMark("S9"))
                    (void)s.session->edit(QStringLiteral("less"), [](job::Job& j) { return j.removeMember("S9"); });
                else
                    (void)s.session->edit(QStringLiteral("more"), [](job::Job& j) { return j.duplicateMember("S1", "S9"); });
                break;
            default:
                if (const auto cell = s.session->find(mark.toStdString(), names[random() % 3]))
                    (void)s.session->setValue(*cell, QString::fromUtf8(values[random() % 9]));
            }
            if (round % 15 != 14) continue;
            if (random() % 2 == 0)
                s.session->finish();
            else
                s.settle();
            const QStringList shown = allShown(*s.session), again = fresh(*s.session, *s.memory);
            for (int i = 0; i < std::min(shown.size(), again.size()); ++i) QCOMPARE(shown[i], again[i]);
            QCOMPARE(shown.size(), again.size());
            QCOMPARE(s.session->isModified(), *s.session->text("shed/job.spanjob") != s.memory->files["shed/job.spanjob"]);
        }
        QVERIFY2(oftenEnough(), qPrintable(QStringLiteral("%1 %2 %3").arg(interrupted).arg(undone).arg(saved)));
    }

    void undoMeanwhileTakesTheEditBackBeforeItWasEverShown() {
        Slow s;
        const QStringList before = allShown(*s.session);
        QVERIFY(!s.set("S1", "L", "2.4"));
        QVERIFY(s.session->isPending());
        QSignalSpy changed(s.session.get(), &JobSession::settled);
        s.session->undoStack().undo();
        QVERIFY(s.session->isPending());
        QCOMPARE(*s.session->text("shed/job.spanjob"), std::string(slow::kJob));
        QVERIFY(!s.session->isModified());
        s.settle();
        QCOMPARE(allShown(*s.session), before);
        s.session->undoStack().redo();
        s.settle();
        QCOMPARE(s.at("S1", "L").data().toString(), QStringLiteral("2.4"));
        QCOMPARE(allShown(*s.session), fresh(*s.session, *s.memory));
    }

    void aSaveThatFailsMeanwhileLosesNothing() {
        Slow s;
        QVERIFY(!s.set("S1", "L", "2.4"));
        QVERIFY(s.session->isPending());
        s.memory->readOnly = true;
        QVERIFY(s.session->save().has_value());
        QVERIFY(s.session->isModified());
        s.settle();
        QVERIFY(s.session->isModified());
        QCOMPARE(s.at("S1", "L").data().toString(), QStringLiteral("2.4"));
        s.memory->readOnly = false;
        QVERIFY(!s.session->save());
        QVERIFY(s.memory->files["shed/job.spanjob"].find("L = 2.4 m") != std::string::npos);
    }

    void closedAndReopenedMeanwhile() {
        for (int i = 0; i < 6; ++i) {
            Slow s(kCases / 3);
            QVERIFY(!s.set("S1", "L", "2.4"));
            if (i % 2 == 0) QVERIFY(!s.set("S2", "L", "2.9"));
            if (i % 3 == 0) QVERIFY(!s.session->save());
            QTest::qWait(i * 2);
            // Another file while the last is still being worked out; then gone altogether.
            s.session->open(QStringLiteral("shed/job.spanjob"));
            QVERIFY(!s.session->isPending());
            QCOMPARE(s.at("S1", "L").data().toString(), i % 3 == 0 ? QStringLiteral("2.4") : QStringLiteral("1.2"));
        }
    }
};

SPANWRIGHT_QT_TEST(AsideTest);
#include "aside_test.moc"
