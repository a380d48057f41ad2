// SPDX-License-Identifier: MIT
// Sentence, list of what is wrong, choices, links, the job's own values, history, the way down, the journal, deltas.
#include <QAbstractItemModelTester>
#include <QSignalSpy>
#include <QTemporaryDir>
#include <QTest>

#include <csignal>
#include <random>

#include <sys/wait.h>
#include <unistd.h>

#include "gui/models/choice_rows.h"
#include "gui/models/governing_walk.h"
#include "gui/models/history.h"
#include "gui/models/job_values.h"
#include "gui/models/journal.h"
#include "gui/models/link_choices.h"
#include "gui/models/problem_list.h"
#include "gui/models/text_delta.h"
#include "tests/gui/shelf_job.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using namespace spanwright::models;
using Tester = QAbstractItemModelTester;

class ListsTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void sentenceSaysHowItStands() {
        auto s = shelf::open();
        ProblemList list(*s);
        Tester tester(&list, Tester::FailureReportingMode::QtTest);
        QCOMPARE(list.standing().sentence, QStringLiteral("1 of 3 members is not proven; 1 value not stated; first: S2 what it is of (wood) is not stated"));
        QCOMPARE(list.rowCount(), 1);
        QVERIFY(list.trouble(0).cell == s->find("S2", "wood"));
        QVERIFY(!s->setValue(*s->find("S2", "wood"), QStringLiteral("soft")));
        // sigma = 2*0.5*1.8^2/8 kN·m / 30000 mm3 = 13.5 N/mm2 over 10.
        QVERIFY2(list.standing().sentence.startsWith(QStringLiteral("1 of 3 members fails; first: S2 bending strength")), qPrintable(list.standing().sentence));
        QVERIFY(list.trouble(0).sort == Trouble::Sort::Fails);
        QCOMPARE(list.trouble(0).text.count(QStringLiteral("rush")), 1); // its case is named once
        QVERIFY(!s->setValue(*s->find("S2", "wood"), QStringLiteral("hard")));
        QCOMPARE(list.standing().sentence, QStringLiteral("All 3 members are OK."));
        QCOMPARE(list.rowCount(), 0);
    }

    void errorsComeFirstAndAreNeverOk() {
        auto s = shelf::open();
        ProblemList list(*s);
        QString text = QString::fromLatin1(shelf::kSheet);
        text.replace(QStringLiteral("= b*h^2/6"), QStringLiteral("= b*h^2/(h - 30 mm)"));
        QVERIFY(!s->setText(QStringLiteral("lib/shelf.spansheet"), text));
        QVERIFY(list.standing().verdict == job::Verdict::NotComputed);
        QVERIFY2(list.standing().sentence.contains(QStringLiteral("not computed")), qPrintable(list.standing().sentence));
        QVERIFY(list.trouble(0).sort == Trouble::Sort::NotComputed);
        QVERIFY(list.trouble(0).cell.has_value());
        QCOMPARE(QString::fromStdString(s->quantity(*list.trouble(0).cell).name), QStringLiteral("W"));
    }

    void pinnedTrialsThatCannotBeWorkedOutAreTold() {
        auto files = shelf::files();
        files->files["shed/job.spanjob"] = std::string(shelf::kJob) + "trial   reach S1.L -- it can be worked out\ntrial   reach S7.L\n";
        JobSession s(QStringLiteral("lib"), std::move(files));
        s.open(QStringLiteral("shed/job.spanjob"));
        ProblemList list(s);
        Tester tester(&list, Tester::FailureReportingMode::QtTest);
        QTRY_COMPARE(list.rowCount(), 2);
        QVERIFY2(list.standing().sentence.contains(QStringLiteral("1 value not stated; 1 trial cannot be worked out; first: S2")),
                 qPrintable(list.standing().sentence));
        // Behind what is wrong with members; it leads to its row of the text.
        const Trouble& t = list.trouble(1);
        QVERIFY2(t.text.startsWith(QStringLiteral("trial \"reach S7.L\": ")) && t.text.contains(QStringLiteral("S7")), qPrintable(t.text));
        QVERIFY(!t.mend.isEmpty() && t.place && t.place->file == "shed/job.spanjob");
        QCOMPARE(QString::fromStdString(s.job().document().rows()[t.place->row].text), QStringLiteral("trial   reach S7.L\n"));
        QCOMPARE(ProblemList::word(t.sort), QStringLiteral("not computed"));
        // With every member OK it is still said.
        QVERIFY(!s.setValue(*s.find("S2", "wood"), QStringLiteral("hard")));
        QTRY_VERIFY(list.standing().sentence.startsWith(QStringLiteral("All 3 members are OK; 1 trial cannot be worked out; first: trial ")));
        QVERIFY(!s.setText(QStringLiteral("shed/job.spanjob"), QString::fromStdString(shelf::text(s)).replace(QStringLiteral("S7.L"), QStringLiteral("S2.L"))));
        QTRY_COMPARE(list.standing().sentence, QStringLiteral("All 3 members are OK."));
    }

    void emptyJobIsNotOk() {
        auto files = shelf::files();
        files->files["shed/empty.spanjob"] = "job Nothing\n";
        JobSession s(QStringLiteral("lib"), std::move(files));
        s.open(QStringLiteral("shed/empty.spanjob"));
        QVERIFY(standingOf(s).sentence.contains(QStringLiteral("no members")));
        QVERIFY(standingOf(s).verdict != job::Verdict::Ok);
    }

    void choicesShowTheirFields() {
        auto s = shelf::open();
        ChoiceRows rows(*s, *s->find("S1", "wood"));
        Tester tester(&rows, Tester::FailureReportingMode::QtTest);
        QCOMPARE(rows.rowCount(), 2);
        QCOMPARE(rows.columnCount(), 3);
        QCOMPARE(rows.headerData(1, Qt::Horizontal, Qt::DisplayRole).toString(), QStringLiteral("f in N/mm²"));
        QCOMPARE(rows.index(1, 1).data().toString(), QStringLiteral("20"));
        QCOMPARE(rows.key(1), QStringLiteral("hard"));
        QCOMPARE(rows.current(), std::optional<int>(0));
        QVERIFY(!ChoiceRows(*s, *s->find("S2", "wood")).current());
    }

    void linksAreOfTheSameDimension() {
        auto s = shelf::open();
        LinkChoices links(*s, *s->find("P1", "N"));
        Tester tester(&links, Tester::FailureReportingMode::QtTest);
        QStringList formulas;
        for (int i = 0; i < links.rowCount(); ++i) formulas << links.formula(i);
        QCOMPARE(formulas, QStringList({"S1.R", "S2.R"}));
        QVERIFY(!s->setValue(*s->find("P1", "N"), links.formula(1)));
        QCOMPARE(QString::fromStdString(s->view(*s->find("P1", "N")).shown), QStringLiteral("0.45 kN"));
    }

    void valuesOfTheJobAreEditedInPlace() {
        auto s = shelf::open();
        JobValues values(*s);
        Tester tester(&values, Tester::FailureReportingMode::QtTest);
        QCOMPARE(values.rowCount(), 1);
        QCOMPARE(values.index(0, JobValues::ValueColumn).data().toString(), QStringLiteral("0.4 kN/m"));
        QSignalSpy changed(&values, &QAbstractItemModel::dataChanged);
        QVERIFY(values.setData(values.index(0, JobValues::ValueColumn), QStringLiteral("0.6 kN/m"), Qt::EditRole));
        QCOMPARE(changed.count(), 1);
        QVERIFY(shelf::text(*s).find("given   q_all [kN/m] = 0.6 kN/m         -- on every shelf") != std::string::npos);
        QSignalSpy refused(&values, &JobValues::refused);
        QVERIFY(!values.setData(values.index(0, JobValues::ValueColumn), QStringLiteral("heavy"), Qt::EditRole));
        QCOMPARE(refused.count(), 1);
    }

    void historyForgetsWhatLayAhead() {
        History h;
        const Spot a{"J1", "a"}, b{"J1", "b"}, c{"J1", "c"};
        h.visit(a);
        h.visit(b);
        h.visit(b);
        QVERIFY(h.canGoBack() && !h.canGoForward());
        QVERIFY(h.back() == a);
        QVERIFY(!h.canGoBack() && h.canGoForward());
        QVERIFY(h.forward() == b);
        (void)h.back();
        h.visit(c);
        QVERIFY(!h.canGoForward());
        QVERIFY(h.back() == a);
        // Moving about by hand is no jump.
        h.standAt(b);
        QVERIFY(h.canGoForward() && !h.canGoBack());
        QVERIFY(h.forward() == c);
        QVERIFY(h.back() == b);
    }

    void theWayDownSeesEveryValueOnce() {
        auto s = shelf::open();
        GoverningWalk walk(*s);
        Spot at{"S1", "bending"};
        QStringList seen;
        while (const auto next = walk.step(at)) {
            seen << QString::fromStdString(next->name);
            at = *next;
        }
        QVERIFY2(seen.startsWith(QStringLiteral("sigma")), qPrintable(seen.join(QStringLiteral(" "))));
        QCOMPARE(seen.at(1), QStringLiteral("M"));
        for (const char* name : {"L", "q", "b", "h", "wood", "W"}) QCOMPARE(seen.count(QString::fromLatin1(name)), 1);
        // Begun anew from the end, it goes the same way.
        QVERIFY(walk.step({"S1", "bending"}) == std::optional<Spot>(Spot{"S1", "sigma"}));
    }

    void theWayDownCrossesMembers() {
        auto s = shelf::open();
        GoverningWalk walk(*s);
        Spot at{"P1", "crushing"};
        QStringList seen;
        while (const auto next = walk.step(at)) {
            seen << QString::fromStdString(next->mark + "." + next->name);
            at = *next;
        }
        QVERIFY(seen.contains(QStringLiteral("S1.R")));
        QVERIFY(seen.contains(QStringLiteral("S1.L")));
    }

    void journalBringsEditsBack() {
        QTemporaryDir dir;
        const QString job = dir.path() + QStringLiteral("/job.spanjob");
        const std::string path = job.toStdString();
        io::Disk disk;
        QVERIFY(disk.write(path, shelf::kJob).ok());
        QVERIFY(disk.write(dir.path().toStdString() + "/shelf.spansheet", shelf::kSheet).ok());
        QVERIFY(disk.write(dir.path().toStdString() + "/post.spansheet", shelf::kOther).ok());
        const QString folder = dir.path() + QStringLiteral("/journal");
        QByteArray kept;
        QString file;
        {
            JobSession s(dir.path());
            s.open(job);
            Journal journal(s, folder);
            QVERIFY(!journal.found());
            QVERIFY(!s.setValue(*s.find("S1", "L"), QStringLiteral("2.4 m")));
            QTRY_COMPARE(QDir(folder).entryList({QStringLiteral("*.json")}).size(), 1);
            file = folder + QLatin1Char('/') + QDir(folder).entryList({QStringLiteral("*.json")}).first();
            QFile f(file);
            QVERIFY(f.open(QIODevice::ReadOnly));
            kept = f.readAll();
        }
        // An orderly end leaves nothing behind; a crash would have left this.
        QVERIFY(!QFile::exists(file));
        QFile f(file);
        QVERIFY(f.open(QIODevice::WriteOnly));
        f.write(kept);
        f.close();
        {
            JobSession s(dir.path());
            s.open(job);
            Journal journal(s, folder);
            const auto found = journal.found();
            QVERIFY(found.has_value());
            QVERIFY(!found->fileChanged);
            QVERIFY(!s.bringBack(found->texts));
            QCOMPARE(QString::fromStdString(s.view(*s.find("S1", "L")).shown), QStringLiteral("2.4 m"));
            QVERIFY(s.isModified());
            // Another window of the same job neither takes nor disturbs them.
            JobSession other(dir.path());
            other.open(job);
            Journal second(other, folder);
            QVERIFY(!second.found());
            QVERIFY(!s.save());
            QVERIFY(!QFile::exists(file));
        }
    }

    void editsOutliveAProcessThatIsKilled() {
        QTemporaryDir dir;
        const QString job = dir.path() + QStringLiteral("/job.spanjob");
        io::Disk disk;
        QVERIFY(disk.write(job.toStdString(), shelf::kJob).ok());
        QVERIFY(disk.write(dir.path().toStdString() + "/shelf.spansheet", shelf::kSheet).ok());
        QVERIFY(disk.write(dir.path().toStdString() + "/post.spansheet", shelf::kOther).ok());
        const QString folder = dir.path() + QStringLiteral("/journal");
        const pid_t child = fork();
        QVERIFY(child >= 0);
        if (child == 0) {
            JobSession s(dir.path());
            Journal journal(s, folder);
            s.open(job);
            (void)s.setValue(*s.find("S1", "L"), QStringLiteral("2.4 m"));
            journal.write();
            kill(getpid(), SIGKILL);
        }
        int status = 0;
        QCOMPARE(waitpid(child, &status, 0), child);
        QVERIFY(WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL);
        JobSession s(dir.path());
        Journal journal(s, folder);
        s.open(job);
        QCOMPARE(QString::fromStdString(s.view(*s.find("S1", "L")).shown), QStringLiteral("1.2 m"));
        const auto found = journal.found();
        QVERIFY(found.has_value());
        QVERIFY(!s.bringBack(found->texts));
        QCOMPARE(QString::fromStdString(s.view(*s.find("S1", "L")).shown), QStringLiteral("2.4 m"));
    }

    void deltasUndoThemselves() {
        std::mt19937 random(11);
        const std::vector<std::string> letters = {"a", "b", "\n", "σ", "²", "€", "x = 1"};
        const auto make = [&] {
            std::string out;
            for (unsigned i = 0; i < random() % 12; ++i) out += letters[random() % letters.size()];
            return out;
        };
        for (int i = 0; i < 2000; ++i) {
            const std::string a = make(), b = make();
            const TextDelta d = deltaBetween("f", a, b);
            QCOMPARE(applied(d, a, true).value_or("?"), b);
            QCOMPARE(applied(d, b, false).value_or("?"), a);
            QVERIFY(QString::fromStdString(d.inserted).toStdString() == d.inserted);
            QVERIFY(QString::fromStdString(d.removed).toStdString() == d.removed);
        }
        QVERIFY(!applied({"f", 1, "b", "c"}, "axx", true));
    }

    void lineDifferenceShowsBothSides() {
        const auto lines = lineDifference("a\nb\nc\nd\ne\nf\n", "a\nb\nC\nd\ne\nf\n", 1);
        QString out;
        for (const DiffLine& l : lines) out += QChar::fromLatin1(char(l.side)) + QString::fromStdString(l.text) + QLatin1Char('|');
        QCOMPARE(out, QStringLiteral(" b|-c|+C| d|"));
        QVERIFY(lineDifference("same\n", "same\n").empty());
    }
};

SPANWRIGHT_QT_TEST(ListsTest);
#include "lists_test.moc"
