// SPDX-License-Identifier: MIT
// A copy of a sheet for the job with rows of its own, lists, and the text beside the grid, in a real window.
#include <QAbstractItemView>
#include <QAction>
#include <QClipboard>
#include <QComboBox>
#include <QFile>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QSignalSpy>
#include <QTextBlock>
#include <QUndoStack>

#include "gui/app/dialogs.h"
#include "gui/app/sheet_dialogs.h"
#include "gui/editor/completing_line.h"
#include "gui/editor/completion_popup.h"
#include "gui/editor/text_panel.h"
#include "gui/editor/text_view.h"
#include "gui/views/list_editor.h"
#include "gui/views/row_editor.h"
#include "tests/gui/app/desk_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using models::GridModel;

namespace {

const std::string kListSheet = std::string(shelf::kSheet) + R"(part    Things on it
list    things by thing
thing, at [m], F [kN], kind [text]
vase, 0.3, 0.02, light
end
each    th in things
derive  F_all [kN] = sum(th.F, over th) -- all of them
)";

} // namespace

class SheetsTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void aCopyOfASheetWithAnAddedRow() {
        LibraryDesk d;
        d.go("S1", "M");
        // A ready sheet's rows are not the job's to change.
        QVERIFY(!d.window->action(QStringLiteral("addRow"))->isEnabled());
        LibraryDesk::inDialog<app::CopySheetDialog>([](app::CopySheetDialog& dialog) {
            dialog.findChild<QLineEdit*>()->setText(QStringLiteral("our-shelf"));
            dialog.accept();
        });
        d.run("copySheet");
        QVERIFY2(d.text().contains(QStringLiteral("member  S1 = our-shelf")), qPrintable(d.text()));
        QVERIFY(d.text().contains(QStringLiteral("member  S2 = shelf")));
        QCOMPARE(d.window->gridView().current(), d.at("S1", "M"));
        QVERIFY(!QFile::exists(d.dir.filePath(QStringLiteral("our-shelf.spansheet"))));

        // A row below: suggestions, and a wrong dimension is told before it is put in.
        QTest::keyClick(d.window.get(), Qt::Key_Insert);
        views::RowEditor* editor = d.window->gridView().rowEditor();
        QVERIFY(editor != nullptr);
        editor::CompletingLine& line = editor->line();
        QTRY_VERIFY(line.hasFocus());
        QTest::keyClicks(&line, QStringLiteral("derive  M_2 [kN*m] = sig"));
        QTRY_VERIFY(line.popup().isOpen());
        QTest::keyClick(line.popup().popup(), Qt::Key_Tab);
        QCOMPARE(line.text(), QStringLiteral("derive  M_2 [kN*m] = sigma"));
        QTRY_VERIFY2(editor->told().contains(QStringLiteral("kN·m")), qPrintable(editor->told()));
        QTest::keyClick(&line, Qt::Key_Return);
        QVERIFY2(d.window->gridView().rowEditor() == editor, "what is wrong is not put in, and stays");
        QVERIFY(!d.text(QStringLiteral("our-shelf.spansheet")).contains(QStringLiteral("M_2")));
        line.setText(QStringLiteral("derive  M_2 [kN*m] = 2*M -- twice the moment"));
        QTest::keyClick(&line, Qt::Key_Return);
        QTRY_VERIFY(d.window->gridView().rowEditor() == nullptr);
        QVERIFY(d.text(QStringLiteral("our-shelf.spansheet")).contains(QStringLiteral("-- handbook\nderive  M_2 [kN*m] = 2*M -- twice the moment\n")));
        QCOMPARE(d.window->gridView().current(), d.at("S1", "M_2"));
        QCOMPARE(d.shown("S1", "M_2"), QStringLiteral("0.288")); // twice 2*0.4*1.2^2/8
        QVERIFY(!d.at("S2", "M_2").isValid());

        // Marked in the grid, listed, filtered.
        QCOMPARE(d.at("S1", "M_2").data(GridModel::RewrittenRole).toString(), QStringLiteral("added"));
        QCOMPARE(d.at("S1", "M").data(GridModel::RewrittenRole).toString(), QString());
        LibraryDesk::inDialog<app::DifferencesDialog>([](app::DifferencesDialog& dialog) {
            QCOMPARE(dialog.findChild<QListWidget*>()->item(0)->text(), QStringLiteral("added: M_2"));
            dialog.reject();
        });
        d.run("differences");
        QCOMPARE(d.window->grid().filter(), GridModel::Filter::Rewritten);
        QTest::keyClick(d.window.get(), Qt::Key_1, Qt::ControlModifier);

        // Changed in its place; the mark comes without the value changing.
        d.go("S1", "W");
        QSignalSpy changed(&d.window->grid(), &QAbstractItemModel::dataChanged);
        QTest::keyClick(d.window.get(), Qt::Key_F2, Qt::ShiftModifier);
        editor = d.window->gridView().rowEditor();
        QVERIFY(editor != nullptr);
        QVERIFY(editor->line().text().startsWith(QStringLiteral("derive  W [mm^3] = b*h^2/6")));
        editor->line().setText(QStringLiteral("derive  W [mm^3] = b*h*h/6              -- section modulus"));
        QTest::keyClick(&editor->line(), Qt::Key_Return);
        QTRY_VERIFY(d.window->gridView().rowEditor() == nullptr);
        QCOMPARE(d.at("S1", "W").data(GridModel::RewrittenRole).toString(), QStringLiteral("changed"));
        bool told = false;
        const QModelIndex what = d.at("S1", "W").siblingAtColumn(GridModel::WhatColumn);
        for (const auto& signal : changed) told = told || (signal.at(0).toModelIndex() == what && signal.at(1).toModelIndex() == what);
        QVERIFY(told);

        // Moved, and taken out: a check that is gone proves nothing.
        d.go("S1", "M_2");
        QTest::keyClick(d.window.get(), Qt::Key_Down, Qt::ControlModifier | Qt::ShiftModifier);
        QVERIFY(d.at("S1", "M_2").row() > d.at("S1", "sigma").row());
        QTest::keyClick(d.window.get(), Qt::Key_Up, Qt::ControlModifier | Qt::ShiftModifier);
        QVERIFY(d.at("S1", "M_2").row() < d.at("S1", "sigma").row());
        d.go("S1", "bending");
        QTest::keyClick(d.window.get(), Qt::Key_Delete, Qt::ControlModifier);
        QVERIFY(!d.at("S1", "bending").isValid());
        const auto& session = d.window->session();
        QCOMPARE(session.job().member(*session.job().memberByMark("S1")).verdict, job::Verdict::NotProven);

        // Saved and read anew it is the same; undone, every byte is as it was.
        QVERIFY(!d.window->session().save());
        QVERIFY(QFile::exists(d.dir.filePath(QStringLiteral("our-shelf.spansheet"))));
        while (d.window->session().undoStack().canUndo()) QTest::keyClick(d.window.get(), Qt::Key_Z, Qt::ControlModifier);
        QCOMPARE(d.text(), QString::fromLatin1(shelf::kJob));
        QVERIFY(d.at("S1", "bending").isValid());
        QCOMPARE(d.window->session().groups().size(), std::size_t(2));
    }

    void rowsOfAListAreEditedInTheGrid() {
        LibraryDesk d(shelf::kJob, kListSheet);
        d.go("S1", "things");
        QCOMPARE(d.shown("S1", "F_all"), QStringLiteral("0.02"));
        QTest::keyClick(&d.table(), Qt::Key_Return);
        views::ListEditor* list = d.window->gridView().listEditor();
        QVERIFY(list != nullptr);
        QTRY_VERIFY(list->table().hasFocus());
        QVERIFY(!list->rows().isStated());
        QVERIFY2(d.window->gridView().rect().contains(QRect(list->mapTo(&d.window->gridView(), QPoint()), list->size())), "it is seen whole");
        const auto type = [&](int row, int column, const char* text) {
            list->table().setCurrentIndex(list->rows().index(row, column));
            QTest::keyClick(&list->table(), Qt::Key_F2);
            auto* line = list->table().viewport()->findChild<QLineEdit*>();
            QVERIFY(line != nullptr);
            line->selectAll();
            QTest::keyClicks(line, QString::fromUtf8(text));
            QTest::keyClick(line, Qt::Key_Return);
            QTest::qWait(1);
        };
        // A wrong unit stays in its field with the reason, and nothing is stated.
        type(0, 2, "2 m");
        QVERIFY2(list->told().contains(QStringLiteral("kN")), qPrintable(list->told()));
        QCOMPARE(list->rows().index(0, 2).data().toString(), QStringLiteral("2 m"));
        QVERIFY(!list->rows().index(0, 2).data(models::ListRows::RefusalRole).toString().isEmpty());
        QCOMPARE(d.text(), QString::fromLatin1(shelf::kJob));
        type(0, 2, "0,03");
        QVERIFY2(list->told().isEmpty(), qPrintable(list->told()));
        QCOMPARE(d.shown("S1", "F_all"), QStringLiteral("0.03"));
        // By key: a new row, field by field; each change that fits is one step.
        QTest::keyClick(&list->table(), Qt::Key_Insert);
        QCOMPARE(list->rows().rowCount(), 2);
        QCOMPARE(list->rows().index(1, 0).data().toString(), QStringLiteral("thing 2"));
        type(1, 0, "books");
        type(1, 1, "60 cm");
        type(1, 2, "150 N");
        type(1, 3, "heavy");
        QVERIFY2(d.text().contains(QStringLiteral("        list  things\n        thing, at [m], F [kN], kind [text]\n        vase, 0.3, 0.03, light\n"
                                                  "        books, 60 cm, 150 N, heavy\n        end\n")),
                 qPrintable(d.text()));
        QCOMPARE(d.shown("S1", "F_all"), QStringLiteral("0.18"));
        QCOMPARE(d.shown("S2", "F_all"), QStringLiteral("0.02"));
        // The window's own keys for rows are the list's here.
        QTest::keyClick(&list->table(), Qt::Key_Up, Qt::ControlModifier | Qt::ShiftModifier);
        QCOMPARE(list->rows().index(0, 0).data().toString(), QStringLiteral("books"));
        QTest::keyClick(&list->table(), Qt::Key_Delete, Qt::ControlModifier);
        QCOMPARE(list->rows().rowCount(), 1);
        // Undo is followed, row by row.
        d.window->action(QStringLiteral("undo"))->trigger();
        QTRY_COMPARE(list->rows().rowCount(), 2);
        QCOMPARE(d.window->gridView().listEditor(), list);
        // Given to the members at the right.
        QTest::keyClick(&list->table(), Qt::Key_Escape);
        QTRY_VERIFY(d.window->gridView().listEditor() == nullptr);
        QVERIFY(d.table().hasFocus());
        d.go("S1", "things");
        d.run("copyRight");
        QCOMPARE(d.shown("S2", "F_all"), QStringLiteral("0.18"));
        // As in the sheet again.
        d.run("editList");
        list = d.window->gridView().listEditor();
        QVERIFY(list != nullptr && list->rows().isStated());
        QTest::mouseClick(list->findChild<QPushButton*>(QStringLiteral("listAsInSheet")), Qt::LeftButton);
        QCOMPARE(d.shown("S1", "F_all"), QStringLiteral("0.02"));
        QCOMPARE(list->rows().rowCount(), 1);
        while (d.window->session().undoStack().canUndo()) d.window->action(QStringLiteral("undo"))->trigger();
        QCOMPARE(d.text(), QString::fromLatin1(shelf::kJob));
    }

    void aRowBeingWrittenOutlivesOtherRows() {
        LibraryDesk d;
        QVERIFY(!d.window->session().edit(QStringLiteral("copy"), [](job::Job& job) { return job.copySheet("shelf", "our-shelf", {}); }));
        const std::string file = d.dir.filePath(QStringLiteral("our-shelf.spansheet")).toStdString();
        d.go("S1", "W");
        QTest::keyClick(d.window.get(), Qt::Key_Insert);
        QVERIFY(d.window->gridView().rowEditor() != nullptr);
        QTest::keyClicks(&d.window->gridView().rowEditor()->line(), QStringLiteral("derive  half [mm] = b/2"));
        // Meanwhile a row comes from elsewhere.
        QVERIFY(!d.window->session().edit(QStringLiteral("row"), [&](job::Job& job) { return job.insertRow(file, 20, "derive  twice [mm] = 2*b"); }));
        QVERIFY(d.window->gridView().rowEditor() == nullptr);
        d.go("S1", "W");
        QTest::keyClick(d.window.get(), Qt::Key_Insert);
        views::RowEditor* editor = d.window->gridView().rowEditor();
        QVERIFY(editor != nullptr);
        QCOMPARE(editor->line().text(), QStringLiteral("derive  half [mm] = b/2"));
        QTest::keyClick(&editor->line(), Qt::Key_Return);
        QTRY_COMPARE(d.shown("S1", "half"), QStringLiteral("100"));
        // It was put in: it is not brought again.
        d.go("S1", "W");
        QTest::keyClick(d.window.get(), Qt::Key_Insert);
        QVERIFY(d.window->gridView().rowEditor() != nullptr);
        QCOMPARE(d.window->gridView().rowEditor()->line().text(), QString());
    }

    void aRowWithAnErrorIsPutInAndToldOf() {
        LibraryDesk d;
        QVERIFY(!d.window->session().edit(QStringLiteral("copy"), [](job::Job& job) { return job.copySheet("shelf", "our-shelf", {}); }));
        d.go("S1", "W");
        QTest::keyClick(d.window.get(), Qt::Key_Insert);
        views::RowEditor* editor = d.window->gridView().rowEditor();
        QVERIFY(editor != nullptr);
        editor->line().setText(QStringLiteral("derive  odd [mm] = W + b -- of unlike things"));
        QTest::keyClick(&editor->line(), Qt::Key_Return);
        // First it is told what is wrong, and what is typed stays.
        QVERIFY(d.window->gridView().rowEditor() == editor);
        QVERIFY2(editor->told().contains(QStringLiteral("Return again")), qPrintable(editor->told()));
        QCOMPARE(editor->line().text(), QStringLiteral("derive  odd [mm] = W + b -- of unlike things"));
        // The second time it is put in as it is: not computed, and the member is not OK.
        QTest::keyClick(&editor->line(), Qt::Key_Return);
        QTRY_VERIFY(d.window->gridView().rowEditor() == nullptr);
        QVERIFY(d.at("S1", "odd").isValid());
        QCOMPARE(d.shown("S1", "odd"), QStringLiteral("not computed"));
        QVERIFY2(!d.at("S1", "odd").data(GridModel::ReasonRole).toString().isEmpty(), "it says why");
        const auto& session = d.window->session();
        QCOMPARE(session.job().member(*session.job().memberByMark("S1")).verdict, job::Verdict::NotComputed);
        // Mended where it stands.
        d.go("S1", "odd");
        QTest::keyClick(d.window.get(), Qt::Key_F2, Qt::ShiftModifier);
        editor = d.window->gridView().rowEditor();
        QVERIFY(editor != nullptr);
        editor->line().setText(QStringLiteral("derive  odd [mm] = h + b -- of like things"));
        QTest::keyClick(&editor->line(), Qt::Key_Return);
        QTRY_COMPARE(d.shown("S1", "odd"), QStringLiteral("230"));
        QVERIFY(session.job().member(*session.job().memberByMark("S1")).verdict != job::Verdict::NotComputed);
    }

    void theTextBesideTheGridAndTheGridFollowEachOther() {
        LibraryDesk d;
        d.go("S1", "L");
        QTest::keyClick(d.window.get(), Qt::Key_E, Qt::ControlModifier);
        editor::TextView& text = d.window->text().view();
        QTRY_VERIFY(text.hasFocus());
        // The text takes room from the grid, whose selected cell stays in view.
        QTRY_VERIFY(d.table().viewport()->rect().contains(d.table().visualRect(d.at("S1", "L"))));
        QVERIFY(text.textCursor().block().text().contains(QStringLiteral("L = 1.2 m")));
        // Down to the next row: the grid's selection comes along, without taking the focus.
        QTest::keyClick(&text, Qt::Key_Down);
        QCOMPARE(d.window->gridView().current(), d.at("S1", "q"));
        QVERIFY(text.hasFocus());
        QTest::keyClick(&text, Qt::Key_Up);
        QTest::keyClick(&text, Qt::Key_End);
        for (int i = 0; i < 5; ++i) QTest::keyClick(&text, Qt::Key_Backspace);
        QTest::keyClicks(&text, QStringLiteral("1.5 m"));
        QCOMPARE(d.shown("S1", "L"), QStringLiteral("1.5"));
        // Undone from the grid's side.
        QTest::keyClick(&text, Qt::Key_Escape);
        QVERIFY(d.table().hasFocus());
        while (d.window->session().undoStack().canUndo()) QTest::keyClick(d.window.get(), Qt::Key_Z, Qt::ControlModifier);
        QCOMPARE(text.toPlainText(), QString::fromLatin1(shelf::kJob));
        // The grid's edits are in the text at once, and the cursor goes along with the selection.
        d.go("S2", "q");
        QVERIFY(text.textCursor().block().text().contains(QStringLiteral("q = 0.5 kN/m")));
        d.keys(QStringLiteral("0"));
        d.keys(QStringLiteral(".7"));
        d.key(Qt::Key_Return);
        QTRY_VERIFY(text.toPlainText().contains(QStringLiteral("q = 0.7 kN/m")));
        // Saving writes what stands in the text.
        d.window->text().setFocus();
        QTest::keyClicks(&text, QStringLiteral(" "));
        QTest::keyClick(d.window.get(), Qt::Key_S, Qt::ControlModifier);
        QTRY_VERIFY(!d.window->isWindowModified());
        QFile file(d.job());
        QVERIFY(file.open(QIODevice::ReadOnly));
        QCOMPARE(QString::fromUtf8(file.readAll()), text.toPlainText());
    }

    void adaptingByMouseAndKey() {
        LibraryDesk d;
        // A click selects, a double click opens the editor.
        d.click(d.at("S2", "b"));
        QCOMPARE(d.window->gridView().current(), d.at("S2", "b"));
        QTest::mouseDClick(d.table().viewport(), Qt::LeftButton, Qt::NoModifier, d.table().visualRect(d.at("S2", "b")).center());
        QVERIFY(d.editor() != nullptr);
        d.keys(QStringLiteral("180"));
        d.key(Qt::Key_Return);
        QTRY_COMPARE(d.shown("S2", "b"), QStringLiteral("180"));
        // To the members at the right.
        QTRY_VERIFY(d.table().hasFocus());
        d.click(d.at("S1", "L"));
        QTest::keyClick(d.window.get(), Qt::Key_R, Qt::ControlModifier | Qt::ShiftModifier);
        QCOMPARE(d.shown("S2", "L"), QStringLiteral("1.2"));
        // A block goes out as tab-separated text, and comes back in elsewhere as it is.
        d.click(d.at("S1", "L"));
        QTest::mouseClick(d.table().viewport(), Qt::LeftButton, Qt::ShiftModifier, d.table().visualRect(d.at("S2", "b")).center());
        QTest::keyClick(d.window.get(), Qt::Key_C, Qt::ControlModifier);
        QCOMPARE(QApplication::clipboard()->text(), QStringLiteral("1.2 m\t1.2 m\n200 mm\t180 mm\n"));
        QApplication::clipboard()->setText(QStringLiteral("1.5 m\t5 ft\n150 mm\t160\n"));
        d.click(d.at("S1", "L"));
        QTest::keyClick(d.window.get(), Qt::Key_V, Qt::ControlModifier);
        QCOMPARE(d.shown("S1", "L"), QStringLiteral("1.5"));
        QCOMPARE(d.shown("S2", "L"), QStringLiteral("1.524"));
        QCOMPARE(d.shown("S2", "b"), QStringLiteral("160"));
        // One wrong field, and none of them is taken.
        const QString before = d.text();
        QApplication::clipboard()->setText(QStringLiteral("1.6 m\t2 kg\n"));
        LibraryDesk::inDialog<QDialog>([](QDialog& dialog) { dialog.accept(); });
        QTest::keyClick(d.window.get(), Qt::Key_V, Qt::ControlModifier);
        QCOMPARE(d.text(), before);
        // A member of any sheet, moved and deleted; count and mark.
        LibraryDesk::inDialog<app::AddMemberDialog>([](app::AddMemberDialog& dialog) {
            auto* sheets = dialog.findChild<QComboBox*>();
            sheets->setCurrentIndex(sheets->findData(QStringLiteral("shelf")));
            dialog.findChildren<QLineEdit*>().first()->setText(QStringLiteral("S9"));
            dialog.accept();
        });
        QTest::keyClick(d.window.get(), Qt::Key_N, Qt::ControlModifier | Qt::ShiftModifier);
        QVERIFY(d.at("S9", "L").isValid());
        QCOMPARE(d.window->gridView().current(), d.at("S9", "L"));
        QTest::keyClick(d.window.get(), Qt::Key_Left, Qt::ControlModifier | Qt::ShiftModifier);
        QVERIFY(d.at("S9", "L").column() < d.at("S2", "L").column());
        d.run("removeMember");
        QVERIFY(!d.window->session().job().memberByMark("S9"));
        // A link is picked, its place says where from, it is followed and broken.
        d.go("P1", "N");
        QTRY_VERIFY(d.at("P1", "N").data(GridModel::FormRole).toInt() == int(GridModel::Form::Linked));
        QCOMPARE(d.at("P1", "N").data(GridModel::LinkRole).toString(), QStringLiteral("S1.R*2"));
        QTest::keyClick(d.window.get(), Qt::Key_L, Qt::ControlModifier | Qt::ShiftModifier);
        QCOMPARE(d.window->gridView().current(), d.at("S1", "R"));
        while (d.window->session().undoStack().canUndo()) QTest::keyClick(d.window.get(), Qt::Key_Z, Qt::ControlModifier);
        QCOMPARE(d.text(), QString::fromLatin1(shelf::kJob));
    }

    void aCopyThatWasNotSavedComesBackAfterACrash() {
        LibraryDesk d;
        const auto& session = d.window->session();
        QVERIFY(!d.window->session().edit(QStringLiteral("copy"), [](job::Job& job) { return job.copySheet("shelf", "our-shelf", {}); }));
        const QDir journal(d.dir.filePath(QStringLiteral("journal")));
        QTRY_COMPARE(journal.entryList({QStringLiteral("*.json")}).size(), 1);
        const QString file = journal.filePath(journal.entryList({QStringLiteral("*.json")}).first());
        QVERIFY(QFile::copy(file, file + QStringLiteral(".kept")));
        QCOMPARE(session.job().filesTouched().size(), std::size_t(2));
        d.tester.reset();
        d.window.reset();
        QVERIFY(QFile::rename(file + QStringLiteral(".kept"), file));
        d.start();
        QVERIFY(d.text().contains(QStringLiteral("member  S1 = our-shelf")));
        QVERIFY(d.at("S1", "L").isValid());
        QCOMPARE(d.shown("S1", "L"), QStringLiteral("1.2"));
        QVERIFY(!d.window->session().save());
        QVERIFY(QFile::exists(d.dir.filePath(QStringLiteral("our-shelf.spansheet"))));
    }
};

SPANWRIGHT_QT_TEST(SheetsTest);
#include "sheets_test.moc"
