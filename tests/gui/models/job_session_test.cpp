// SPDX-License-Identifier: MIT
#include <QSignalSpy>
#include <QTest>

#include "tests/gui/test_list.h"
#include "tests/gui/shelf_job.h"

using namespace spanwright;
using namespace spanwright::models;

namespace {
std::string shown(const JobSession& s, const char* mark, const char* name) { return s.view(*s.find(mark, name)).shown; }
} // namespace

class JobSessionTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void opens() {
        auto s = shelf::open();
        QCOMPARE(s->groups().size(), std::size_t(2));
        QCOMPARE(s->groups()[0].name, QStringLiteral("shelf"));
        QCOMPARE(s->groups()[0].members.size(), std::size_t(2));
        QCOMPARE(s->groups()[1].title, QStringLiteral("Post"));
        QVERIFY(!s->isModified());
        QCOMPARE(QString::fromStdString(shown(*s, "S1", "R")), QStringLiteral("0.24 kN"));
        QCOMPARE(QString::fromStdString(shown(*s, "P1", "N")), QStringLiteral("0.48 kN"));
        QVERIFY(s->filesRead().contains(QStringLiteral("lib/shelf.spansheet")));
    }

    void unreadableFileIsNoMember() {
        JobSession s(QStringLiteral("lib"), shelf::files());
        s.open(QStringLiteral("shed/none.spanjob"));
        QCOMPARE(s.job().memberCount(), std::size_t(0));
        QVERIFY(!s.job().diagnostics().empty());
    }

    void bareNumberTakesTheUnitShownAndUndoGivesEveryByteBack() {
        auto s = shelf::open();
        QSignalSpy cells(s.get(), &JobSession::cellsChanged);
        QSignalSpy reset(s.get(), &JobSession::reset);
        const std::string before = shelf::text(*s);
        QVERIFY(!s->setValue(*s->find("S1", "L"), QStringLiteral(" 2.4 ")));
        QVERIFY(shelf::text(*s).find("with  L = 2.4 m\n") != std::string::npos);
        QVERIFY(s->isModified());
        QCOMPARE(reset.count(), 0);
        QCOMPARE(cells.count(), 1);
        // Changed: the span and what follows from it, in this member and in the one that it carries; nothing else.
        std::vector<std::pair<std::string, std::string>> names;
        for (const CellId& c : cells[0][0].value<std::vector<CellId>>()) names.emplace_back(s->job().member(c.member).mark, s->quantity(c).name);
        const std::vector<std::pair<std::string, std::string>> expected = {{"S1", "L"}, {"S1", "M"}, {"S1", "sigma"},   {"S1", "bending"},
                                                                           {"S1", "R"}, {"P1", "N"}, {"P1", "sigma_c"}, {"P1", "crushing"}};
        std::string told;
        for (const auto& [mark, name] : names) told += mark + "." + name + " ";
        QVERIFY2(names == expected, told.c_str());
        QVERIFY(s->changed(*s->find("S1", "R")));
        QCOMPARE(s->oldShown(*s->find("S1", "R")), QStringLiteral("0.24 kN"));
        QVERIFY(!s->changed(*s->find("S2", "L")));

        s->undoStack().undo();
        QCOMPARE(QString::fromStdString(shelf::text(*s)), QString::fromStdString(before));
        QVERIFY(!s->isModified());
        QCOMPARE(QString::fromStdString(shown(*s, "P1", "N")), QStringLiteral("0.48 kN"));
        s->undoStack().redo();
        QVERIFY(shelf::text(*s).find("with  L = 2.4 m\n") != std::string::npos);
        QCOMPARE(QString::fromStdString(shown(*s, "S1", "R")), QStringLiteral("0.48 kN"));
    }

    void refusedEditChangesNothing() {
        auto s = shelf::open();
        QSignalSpy cells(s.get(), &JobSession::cellsChanged);
        QSignalSpy settled(s.get(), &JobSession::settled);
        const std::string before = shelf::text(*s);
        for (const char* typed : {"3 kg", "1,200", "9 m", "soft", "S9.R", "2 +"}) {
            const Outcome o = s->setValue(*s->find("S1", "L"), QString::fromLatin1(typed));
            QVERIFY2(o.has_value(), typed);
            QVERIFY2(!o->message.isEmpty(), typed);
        }
        QVERIFY(s->setValue(*s->find("S1", "wood"), QStringLiteral("balsa")).has_value());
        QCOMPARE(shelf::text(*s), before);
        QCOMPARE(cells.count() + settled.count(), 0);
        QVERIFY(!s->undoStack().canUndo());
    }

    void decimalCommaIsWrittenAsPoint() {
        auto s = shelf::open();
        QVERIFY(!s->setValue(*s->find("S1", "L"), QStringLiteral("1,5 m")));
        QVERIFY(shelf::text(*s).find("L = 1.5 m\n") != std::string::npos);
        QVERIFY(!s->setValue(*s->find("S1", "L"), QStringLiteral("2,5")));
        QVERIFY(shelf::text(*s).find("L = 2.5 m\n") != std::string::npos);
        QVERIFY(!s->setValue(*s->find("S1", "L"), QStringLiteral("4 ft 6 in")));
        QVERIFY(shelf::text(*s).find("L = 4 ft 6 in\n") != std::string::npos);
    }

    void emptyTextTakesTheStatementBack() {
        auto s = shelf::open();
        QVERIFY(!s->setValue(*s->find("S1", "L"), QString()));
        QVERIFY(s->view(*s->find("S1", "L")).state == eval::State::NotStated);
        QVERIFY(shelf::text(*s).find("L = 1.2 m") == std::string::npos);
        QVERIFY(s->job().member(0).verdict == job::Verdict::NotProven);
        s->undoStack().undo();
        QCOMPARE(QString::fromStdString(shelf::text(*s)), QString::fromLatin1(shelf::kJob));
    }

    void severalAllOrNone() {
        auto s = shelf::open();
        QVERIFY(s->setValues({{*s->find("S1", "L"), QStringLiteral("2 m")}, {*s->find("S2", "L"), QStringLiteral("2 kg")}}, QStringLiteral("both")));
        QCOMPARE(QString::fromStdString(shelf::text(*s)), QString::fromLatin1(shelf::kJob));
        QCOMPARE(QString::fromStdString(shown(*s, "S1", "L")), QStringLiteral("1.2 m"));
        QVERIFY(!s->setValues({{*s->find("S1", "L"), QStringLiteral("2 m")}, {*s->find("S2", "L"), QStringLiteral("2.2 m")}}, QStringLiteral("both")));
        QCOMPARE(s->undoStack().count(), 1);
        QCOMPARE(s->undoStack().undoText(), QStringLiteral("both"));
        s->undoStack().undo();
        QCOMPARE(QString::fromStdString(shelf::text(*s)), QString::fromLatin1(shelf::kJob));
    }

    void jobGivenReachesItsReaders() {
        auto s = shelf::open();
        QVERIFY(!s->setJobGiven(QStringLiteral("q_all"), QStringLiteral("0.8 kN/m")));
        QCOMPARE(QString::fromStdString(shown(*s, "S1", "R")), QStringLiteral("0.48 kN"));
        QVERIFY(s->changed(*s->find("P1", "N")));
        QVERIFY(s->setJobGiven(QStringLiteral("q_all"), QStringLiteral("0.8 kN")).has_value());
    }

    void membersComeAndGo() {
        auto s = shelf::open();
        QSignalSpy reset(s.get(), &JobSession::reset);
        QVERIFY(!s->edit(QStringLiteral("copy"), [](job::Job& j) { return j.duplicateMember("S1", "S3"); }));
        QCOMPARE(reset.count(), 1);
        QCOMPARE(s->groups()[0].members.size(), std::size_t(3));
        QCOMPARE(QString::fromStdString(shown(*s, "S3", "L")), QStringLiteral("1.2 m"));
        s->undoStack().undo();
        QCOMPARE(reset.count(), 2);
        QCOMPARE(QString::fromStdString(shelf::text(*s)), QString::fromLatin1(shelf::kJob));
    }

    void savesAndSaysSo() {
        auto files = shelf::files();
        io::Memory* memory = files.get();
        JobSession s(QStringLiteral("lib"), std::move(files));
        s.open(QStringLiteral("shed/job.spanjob"));
        QSignalSpy modified(&s, &JobSession::modifiedChanged);
        QVERIFY(!s.setValue(*s.find("S2", "wood"), QStringLiteral("hard")));
        memory->readOnly = true;
        const Outcome refused = s.save();
        QVERIFY(refused && refused->message.contains(QStringLiteral("job.spanjob")));
        QVERIFY(s.isModified());
        memory->readOnly = false;
        QVERIFY(!s.save());
        QVERIFY(!s.isModified());
        QCOMPARE(modified.count(), 2);
        QVERIFY(memory->files["shed/job.spanjob"].find("wood = hard") != std::string::npos);
        // Undone after saving, it differs from the file again.
        s.undoStack().undo();
        QVERIFY(s.isModified());
    }

    void tickIsTextAndGoesOutOfDate() {
        auto s = shelf::open();
        QVERIFY(!s->addTick(*s->find("S1", "R"), QStringLiteral("AB"), QStringLiteral("2026-05-04")));
        QVERIFY(shelf::text(*s).find("tick    S1.R by AB on 2026-05-04 letters ") != std::string::npos);
        QVERIFY(s->job().ticks()[0].state == job::TickView::State::Current);
        QSignalSpy cells(s.get(), &JobSession::cellsChanged);
        QVERIFY(!s->setValue(*s->find("S1", "L"), QStringLiteral("2 m")));
        QVERIFY(s->job().ticks()[0].state == job::TickView::State::OutOfDate);
        QVERIFY(!s->job().ticks()[0].changed.empty());
    }

    void sheetOnItsOwn() {
        JobSession s(QStringLiteral("lib"), shelf::files());
        s.open(QStringLiteral("lib/shelf.spansheet"));
        QCOMPARE(s.job().memberCount(), std::size_t(1));
        QSignalSpy reset(&s, &JobSession::reset);
        const std::string mark = s.job().member(0).mark;
        QVERIFY(!s.setValue(*s.find(mark, "b"), QStringLiteral("300")));
        QCOMPARE(reset.count(), 0);
        QVERIFY(s.job().text("lib/shelf.spansheet")->find("given   b = 300 mm from 20 mm to 600 mm -- breadth") != std::string::npos);
        s.undoStack().undo();
        QCOMPARE(QString::fromStdString(*s.job().text("lib/shelf.spansheet")), QString::fromLatin1(shelf::kSheet));
    }

    void textOfASheetCanBeEditedAndGivesRowsAnew() {
        auto s = shelf::open();
        QSignalSpy reset(s.get(), &JobSession::reset);
        QString text = QString::fromLatin1(shelf::kSheet);
        QVERIFY(!s->setText(QStringLiteral("lib/shelf.spansheet"), text + QStringLiteral("part    More\nderive  U [kN] = 2*R -- twice\n")));
        QCOMPARE(reset.count(), 1);
        QCOMPARE(QString::fromStdString(shown(*s, "S1", "U")), QStringLiteral("0.48 kN"));
        s->undoStack().undo();
        QVERIFY(!s->find("S1", "U"));
        QCOMPARE(QString::fromStdString(*s->job().text("lib/shelf.spansheet")), text);
    }
};

SPANWRIGHT_QT_TEST(JobSessionTest);
#include "job_session_test.moc"
