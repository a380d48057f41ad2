// SPDX-License-Identifier: MIT
#include "engine/cli/run.h"

#include <exception>
#include <ostream>

#include "engine/cli/commands.h"

namespace spanwright::cli {

int run(const std::vector<std::string>& arguments, const Surroundings& around) {
    try {
        const Request request = readOptions(arguments);
        if (request.stop) {
            around.out << request.text;
            around.err << request.problem;
            return request.status;
        }
        Surroundings here = around;
        if (!request.sheets.empty()) here.library = request.sheets;
        return std::visit([&](const auto& command) { return perform(command, here); }, request.command);
    } catch (const std::exception& e) { // out of memory, above all: said, not crashed
        around.err << "spanwright: " << e.what() << "\n";
        return kNotRead;
    }
}

} // namespace spanwright::cli
