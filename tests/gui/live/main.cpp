// SPDX-License-Identifier: MIT
// How long an edit takes from the key to the painted change, on the real window: spanwright_live [MEMBERS ROWS [wait]].
// Not a test: times depend on the machine. Counts what changed beside the times, so that nothing is skipped unseen.
#include <QApplication>
#include <QElapsedTimer>
#include <QSettings>
#include <QStandardPaths>
#include <QTableView>
#include <QTemporaryDir>
#include <QTest>
#include <QUndoStack>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>

#include <sys/mman.h>

#include "engine/base/large_pages.h"
#include "engine/io/files.h"
#include "gui/app/desk_window.h"
#include "gui/views/grid_view.h"

using namespace spanwright;

namespace {

/// A tenth of the rows asked for, a tenth checks, the rest derived; half of the derived rows hang on `a_0`.
std::string sheetOf(int rows) {
    std::string out = "sheet wide\ntitle Wide\npart Values\n";
    const auto n = [](int i) { return std::to_string(i); };
    const int asks = rows / 10, checks = rows / 10, derived = rows - asks - checks;
    for (int i = 0; i < asks; ++i) out += "given a_" + n(i) + " = " + n(i + 1) + " m -- length " + n(i) + "\n";
    out += "part Rows\n";
    for (int i = 0; i < derived; ++i) {
        const std::string before = i < 2 ? "a_" + n(i % asks) : "d_" + n(i - 2);
        out += "derive d_" + n(i) + " [m] = " + before + "*1.001 + a_" + n(i % 2 == 0 ? 0 : 1 + i % (asks - 1)) + "/100 -- row " + n(i) + "\n";
    }
    out += "part Checks\n";
    for (int i = 0; i < checks; ++i) out += "check c_" + n(i) + ": d_" + n(i) + " <= 1000 m -- check " + n(i) + "\n";
    return out;
}

/// Of this thread, in milliseconds: what others do on the machine does not count in it.
double processorTime() {
    timespec t{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return static_cast<double>(t.tv_sec) * 1e3 + static_cast<double>(t.tv_nsec) / 1e6;
}

/// What the machine's memory is like at this hour: microseconds for a small page that was never touched.
double freshPage() {
    constexpr std::size_t kPage = 4096, kPages = 8192;
    void* at = mmap(nullptr, kPage * kPages, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
    if (at == MAP_FAILED) return 0.0;
    madvise(at, kPage * kPages, MADV_NOHUGEPAGE);
    QElapsedTimer timer;
    timer.start();
    for (std::size_t i = 0; i < kPages; ++i) static_cast<volatile char*>(at)[i * kPage] = 1;
    const double each = static_cast<double>(timer.nsecsElapsed()) / 1e3 / kPages;
    munmap(at, kPage * kPages);
    return each;
}

double median(std::vector<double> v) {
    std::sort(v.begin(), v.end());
    return v[v.size() / 2];
}

double worst(const std::vector<double>& v) { return *std::max_element(v.begin(), v.end()); }

} // namespace

/// One edit as far as it is painted, and nothing else: what counts instructions is told to count in here.
[[gnu::noinline]] bool editAndPaint(models::GridModel& grid, const QModelIndex& at, const QString& typed) {
    if (!grid.setData(at, typed, Qt::EditRole)) return false;
    QCoreApplication::processEvents();
    return true;
}

int main(int argc, char** argv) {
    base::useLargePages();
    QApplication app(argc, argv);
    QStandardPaths::setTestModeEnabled(true);
    QApplication::setOrganizationName(QStringLiteral("spanwright"));
    QApplication::setApplicationName(QStringLiteral("live"));
    QSettings().clear();
    const int members = argc > 2 ? std::atoi(argv[1]) : 50, rows = argc > 2 ? std::atoi(argv[2]) : 400;
    QTemporaryDir dir;
    io::Disk disk;
    std::string job = "job Wide\n";
    for (int m = 0; m < members; ++m) job += "member M" + std::to_string(m) + " = wide\n        with a_0 = 1 m\n        with a_1 = 2 m\n";
    if (!disk.write(dir.filePath(QStringLiteral("wide.spansheet")).toStdString(), sheetOf(rows)).ok()) return 1;
    if (!disk.write(dir.filePath(QStringLiteral("job.spanjob")).toStdString(), job).ok()) return 1;

    app::DeskWindow window(dir.path(), dir.filePath(QStringLiteral("journal")));
    QElapsedTimer timer;
    timer.start();
    window.openFile(dir.filePath(QStringLiteral("job.spanjob")));
    const double opened = static_cast<double>(timer.nsecsElapsed()) / 1e6;
    // For counting instructions under a program that slows everything down: the same path at any speed.
    if (argc > 3) window.session().setPatience(std::chrono::minutes(10));
    window.resize(1280, 800);
    window.show();
    if (!QTest::qWaitForWindowExposed(&window)) return 1;
    window.goTo({"M" + std::to_string(members / 2), "a_0"});
    QTest::qWait(300);

    std::vector<double> painted, step, own;
    std::size_t changed = 0;
    int aside = 0;
    QObject::connect(&window.session(), &models::JobSession::cellsChanged, [&](const std::vector<models::CellId>& cells) { changed = cells.size(); });
    models::GridModel& grid = window.grid();
    QTableView& view = window.gridView().members();
    for (int i = 0; i < 15; ++i) {
        const QModelIndex at = window.gridView().current();
        const double before = processorTime();
        timer.restart();
        if (!editAndPaint(grid, at, QString::number(1.0 + i * 0.01))) return 1;
        painted.push_back(static_cast<double>(timer.nsecsElapsed()) / 1e6);
        own.push_back(processorTime() - before);
        if (window.session().isPending()) ++aside;
        window.session().finish();
        QTest::qWait(120);
    }
    std::vector<double> undone;
    for (int i = 0; i < 5; ++i) {
        timer.restart();
        window.session().undoStack().undo();
        QCoreApplication::processEvents();
        undone.push_back(static_cast<double>(timer.nsecsElapsed()) / 1e6);
        window.session().finish();
        QTest::qWait(120);
    }
    for (int i = 0; i < 15; ++i) {
        timer.restart();
        QTest::keyClick(&view, Qt::Key_PageDown);
        QCoreApplication::processEvents();
        step.push_back(static_cast<double>(timer.nsecsElapsed()) / 1e6);
    }
    std::printf("%d members x %d rows: opened and calculated in %.1f ms; one edit (%zu cells shown differently) painted in %.2f ms, %.2f at worst, of which "
                "the window's thread worked %.2f ms, %.2f at worst; one undone in %.2f ms; a page down in %.2f ms (else medians); %d of 15 edits were painted "
                "as out of date first%s; a fresh page of memory took %.2f us\n",
                members, rows, opened, changed, median(painted), worst(painted), median(own), worst(own), median(undone), median(step), aside,
                window.session().isAside() ? ", a second copy of the job is kept" : "", freshPage());
    return 0;
}
