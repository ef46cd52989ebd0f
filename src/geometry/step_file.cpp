#include "geometry/step_file.hpp"

#include <signal.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <string_view>
#include <utility>

#include "geometry/several_bodies.hpp"
#include "geometry/text_lines.hpp"
#include "input/child_program.hpp"
#include "input/input_error.hpp"
#include "input/whole_file.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;

// What the mesher may use. One face of 400,000 triangles took it 2.1 GB and half a minute; a file takes some
// twenty times its size.
struct Allowance {
  std::size_t memory_mb;
  std::size_t processor_s;
};

Allowance allowance(std::size_t file_bytes, const StepReading& reading) {
  const std::size_t file_mb = file_bytes >> 20;
  return {2048 + 40 * file_mb, reading.processor_s.value_or(60 + 3 * file_mb)};
}

// The frame every STEP file has. What is cut off or is no STEP at all is told here, with its place, and
// costs no second program.
void check_frame(std::string_view text, const std::string& file) {
  if (text.size() > most_step_bytes)
    throw InputError(file, "",
                     "the STEP file is larger than " + std::to_string(most_step_bytes >> 20) + " MB",
                     "export the core's body alone, or as binary STL");
  const std::size_t zero = text.find('\0');
  if (zero != std::string_view::npos)
    throw InputError(file, "byte " + std::to_string(zero), "a STEP file is text, this byte is zero",
                     "copy or export it again");
  const std::size_t data = text.find("DATA");
  if (data == std::string_view::npos)
    throw InputError(file, "", "begins like STEP but has no DATA section", "copy or export it again");
  if (text.find("END-ISO-10303-21", data) == std::string_view::npos)
    throw InputError(file, "line " + std::to_string(std::ranges::count(text, '\n') + 1),
                     "the file stops here, before its END-ISO-10303-21: it is cut short",
                     "copy or export it again");
}

std::string size_text(const Eigen::Vector3d& size_mm) {
  std::array<char, 96> text;
  std::snprintf(text.data(), text.size(), "%.4g x %.4g x %.4g mm", size_mm.x(), size_mm.y(), size_mm.z());
  return text.data();
}

std::string told(const StepChoice& choice) {
  std::string bodies;
  for (std::size_t i = 0; i < choice.bodies.size(); ++i) {
    const StepBody& body = choice.bodies[i];
    bodies += (i == 0 ? " " : ", ") + std::to_string(i + 1) + " ";
    if (!body.name.empty()) bodies += "'" + body.name + "' ";
    bodies += "(" + size_text(body.size_mm) + ")";
  }
  if (choice.count > choice.bodies.size()) bodies += " and more";
  return "holds " + std::to_string(choice.count) + " bodies:" + bodies;
}

constexpr const char* export_again =
    "export it again, healed, as one closed body, or export the surface as binary STL";

[[noreturn]] void refuse(const ChildEnd& end, const Allowance& allowed, const fs::path& mesher,
                         const std::string& file) {
  using How = ChildEnd::How;
  if (end.how == How::not_started)
    throw InputError(
        file, "",
        "STEP is read by " + mesher.string() + ", which cannot be started (" + std::strerror(end.code) + ")",
        "put it beside boxfettle again, or export the surface as binary STL");
  const bool out_of_time = end.how == How::out_of_time || (end.how == How::by_signal && end.code == SIGXCPU);
  if (out_of_time)
    throw InputError(file, "DATA",
                     "could not be read and meshed within " + std::to_string(allowed.processor_s) + " s",
                     export_again);
  throw InputError(file, "DATA", "cannot be read: the STEP reader broke down over it", export_again);
}

std::vector<std::string> words(const fs::path& path, const StepReading& reading, const Allowance& allowed) {
  std::array<char, 32> deflection;
  std::snprintf(deflection.data(), deflection.size(), "%.17g", reading.deflection_mm);
  return {path.string(),
          deflection.data(),
          std::to_string(reading.most_triangles),
          std::to_string(reading.body.value_or(0)),
          std::to_string(allowed.memory_mb),
          std::to_string(allowed.processor_s)};
}

}  // namespace

SeveralBodies::SeveralBodies(const std::string& file, StepChoice choice, const std::string& mend)
    : InputError(file, "", told(choice), mend), choice_(std::move(choice)) {}

fs::path step_mesher_beside_this_program() {
  std::error_code unreadable;
  return fs::read_symlink("/proc/self/exe", unreadable).parent_path() / "boxfettle-step-mesh";
}

bool is_step(std::span<const std::byte> bytes) {
  const std::string_view start =
      without_byte_order_mark(as_text(bytes.first(std::min<std::size_t>(bytes.size(), 4096))));
  const std::size_t first = start.find_first_not_of(" \t\r\n");
  return first != std::string_view::npos && start.substr(first).starts_with("ISO-10303-21");
}

StepMesh read_step_file(const fs::path& path, const StepReading& reading) {
  const std::string file = path.string();
  const WholeFile whole(path);
  if (!is_step(whole.bytes()))
    throw InputError(file, "line 1", "does not begin with ISO-10303-21 as STEP does", "export it again");
  check_frame(whole.text(), file);

  const Allowance allowed = allowance(whole.bytes().size(), reading);
  ChildLimits limits;
  limits.time = std::chrono::seconds(2 * allowed.processor_s);
  limits.most_bytes = std::size_t{reading.most_triangles} * 64 + (std::size_t{1} << 20);
  limits.while_waiting = reading.while_waiting;
  const ChildEnd end = run_child_program(reading.mesher, words(path, reading, allowed), limits);
  const bool left_well = end.how == ChildEnd::How::left && end.code == 0;
  std::optional<StepAnswer> answer = left_well ? read_step_answer(end.written) : std::nullopt;
  if (!answer) refuse(end, allowed, reading.mesher, file);
  if (auto* choice = std::get_if<StepChoice>(&*answer))
    throw SeveralBodies(file, std::move(*choice), reading.choose_body);
  if (const auto* refusal = std::get_if<StepRefusal>(&*answer))
    throw InputError(file, refusal->place, refusal->what, refusal->mend);
  return std::move(std::get<StepMesh>(*answer));
}

}  // namespace boxfettle
