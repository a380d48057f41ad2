// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractItemModelTester>
#include <QApplication>
#include <QSettings>
#include <QTableView>
#include <QTemporaryDir>
#include <QTest>
#include <QTimer>

#include <memory>
#include <string>

#include "gui/app/desk_window.h"
#include "gui/editor/text_panel.h"
#include "gui/models/text.h"
#include "gui/views/cell_editor.h"
#include "gui/views/grid_view.h"
#include "tests/gui/shelf_job.h"

/// A window on the trial job, in a folder of its own; the ready sheets lie in a library beside it. The grid's model is
/// watched by the model tester.
struct LibraryDesk {
    QTemporaryDir dir;
    std::unique_ptr<spanwright::app::DeskWindow> window;
    std::unique_ptr<QAbstractItemModelTester> tester;

    explicit LibraryDesk(const std::string& job = shelf::kJob, const std::string& sheet = shelf::kSheet) {
        QSettings().clear();
        QDir(dir.path()).mkpath(QStringLiteral("lib"));
        put(QStringLiteral("job.spanjob"), job);
        put(QStringLiteral("lib/shelf.spansheet"), sheet);
        put(QStringLiteral("lib/post.spansheet"), shelf::kOther);
        start();
    }
    void start() {
        window = std::make_unique<spanwright::app::DeskWindow>(library(), dir.filePath(QStringLiteral("journal")));
        tester = std::make_unique<QAbstractItemModelTester>(&window->grid(), QAbstractItemModelTester::FailureReportingMode::QtTest);
        window->text().setQuick(60'000); // however busy the machine
        window->openFile(job());
        window->resize(1280, 800);
        window->show();
        QVERIFY(QTest::qWaitForWindowExposed(window.get()));
        window->activateWindow();
        window->gridView().setFocus();
        QTRY_VERIFY(window->gridView().members().hasFocus());
    }
    void put(const QString& name, const std::string& bytes) {
        spanwright::io::Disk disk;
        QVERIFY(disk.write(dir.filePath(name).toStdString(), bytes).ok());
    }
    [[nodiscard]] QString library() const { return dir.filePath(QStringLiteral("lib")); }
    [[nodiscard]] QString job() const { return dir.filePath(QStringLiteral("job.spanjob")); }
    [[nodiscard]] QString text(const QString& file = {}) {
        const std::string path = file.isEmpty() ? job().toStdString() : dir.filePath(file).toStdString();
        return QString::fromStdString(window->session().job().text(path).value_or(""));
    }
    [[nodiscard]] QModelIndex at(const char* mark, const char* name) {
        const auto cell = window->session().find(mark, name);
        return cell ? window->grid().indexOf(*cell) : QModelIndex();
    }
    [[nodiscard]] QString shown(const char* mark, const char* name) { return at(mark, name).data().toString(); }
    void go(const char* mark, const char* name) { QVERIFY(window->goTo({mark, name})); }
    void run(const char* action) { window->action(QLatin1String(action))->trigger(); }
    QTableView& table() { return window->gridView().members(); }
    void key(Qt::Key k, Qt::KeyboardModifiers m = Qt::NoModifier) { QTest::keyClick(QApplication::focusWidget(), k, m); }
    void keys(const QString& text) { QTest::keyClicks(QApplication::focusWidget(), text); }
    /// As a person clicks a cell.
    void click(const QModelIndex& index) { QTest::mouseClick(table().viewport(), Qt::LeftButton, Qt::NoModifier, table().visualRect(index).center()); }
    [[nodiscard]] spanwright::views::CellEditor* editor() {
        for (spanwright::views::CellEditor* e : table().viewport()->findChildren<spanwright::views::CellEditor*>())
            if (!e->done) return e;
        return nullptr;
    }
    /// Does something in the dialog that opens next.
    template <class D, class F> static void inDialog(F&& what) {
        QTimer::singleShot(0, [what = std::forward<F>(what)] {
            for (QWidget* w : QApplication::topLevelWidgets())
                if (auto* dialog = qobject_cast<D*>(w); dialog != nullptr && dialog->isVisible()) {
                    what(*dialog);
                    return;
                }
            QFAIL("the dialog did not open");
        });
    }
};

/// The same with a diagram to each board.
struct Desk : LibraryDesk {
    Desk()
        : LibraryDesk(shelf::kJob,
                      std::string(shelf::kSheet) + "part    Diagram\nplot    load.Q*q*x*(L - x)/2 [kN*m], x from 0 m to L -- moment along the board\n") {}
};
