// SPDX-License-Identifier: MIT
#include <QApplication>
#include <QStandardPaths>
#include <QTest>

#include <cstdio>

#include "tests/gui/qt_warnings.h"
#include "tests/gui/test_list.h"

/// Runs every test class; with a class' name as first argument only that one, with the rest given to it.
int main(int argc, char** argv) {
    QApplication app(argc, argv);
    QStandardPaths::setTestModeEnabled(true);
    QtWarnings warnings(app);
    QStringList arguments = app.arguments();
    QString only;
    if (arguments.size() > 1 && !arguments[1].startsWith(QLatin1Char('-'))) only = arguments.takeAt(1);
    int failed = 0, run = 0;
    for (const auto& make : testList()) {
        const std::unique_ptr<QObject> test = make();
        if (!only.isEmpty() && only != QLatin1String(test->metaObject()->className())) continue;
        ++run;
        warnings.watch();
        failed += QTest::qExec(test.get(), arguments);
    }
    if (run == 0) {
        std::fprintf(stderr, "no tests were found\n");
        return 1;
    }
    return failed == 0 && warnings.count() == 0 ? 0 : 1;
}
