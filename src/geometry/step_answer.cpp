#include "geometry/step_answer.hpp"

#include <algorithm>
#include <array>
#include <cstring>
#include <string_view>
#include <utility>

#include "geometry/coordinate_check.hpp"

namespace boxfettle {
namespace {

// Both programs come from one build on one machine: numbers travel as they lie in memory.
constexpr std::string_view mark = "BFSTEP1\n";

class Writer {
 public:
  Writer() { put(std::as_bytes(std::span(mark))); }

  template <typename Number>
  void number(Number value) {
    put(std::as_bytes(std::span(&value, 1)));
  }
  void text(const std::string& value) {
    number(static_cast<std::uint32_t>(value.size()));
    put(std::as_bytes(std::span(value)));
  }
  template <typename Item>
  void list(const std::vector<Item>& items) {
    number(static_cast<std::uint64_t>(items.size()));
    put(std::as_bytes(std::span(items)));
  }

  std::vector<std::byte> bytes;

 private:
  void put(std::span<const std::byte> more) { bytes.insert(bytes.end(), more.begin(), more.end()); }
};

// Reads until something does not fit; from then on everything is zero and `sound()` is false.
class Reader {
 public:
  explicit Reader(std::span<const std::byte> bytes) : rest_(bytes) {
    std::array<char, mark.size()> start{};
    fill(std::as_writable_bytes(std::span(start)));
    if (std::string_view(start.data(), start.size()) != mark) sound_ = false;
  }

  template <typename Number>
  Number number() {
    Number value{};
    fill(std::as_writable_bytes(std::span(&value, 1)));
    return value;
  }
  std::string text() {
    const auto size = number<std::uint32_t>();
    std::string value(fits(size, 1) ? size : 0, '\0');
    fill(std::as_writable_bytes(std::span(value)));
    return value;
  }
  template <typename Item>
  std::vector<Item> list() {
    const auto count = number<std::uint64_t>();
    std::vector<Item> items(fits(count, sizeof(Item)) ? count : 0);
    fill(std::as_writable_bytes(std::span(items)));
    return items;
  }
  // Whether so many things of so many bytes can still follow; if not, the bytes are not sound.
  bool fits(std::uint64_t count, std::size_t size) {
    if (count > rest_.size() / size) sound_ = false;
    return sound_;
  }
  bool sound_to_the_end() const { return sound_ && rest_.empty(); }

 private:
  void fill(std::span<std::byte> into) {
    if (!fits(into.size(), 1)) return;
    std::copy_n(rest_.begin(), into.size(), into.begin());
    rest_ = rest_.subspan(into.size());
  }

  std::span<const std::byte> rest_;
  bool sound_ = true;
};

void write(Writer& out, const StepMesh& step) {
  out.number(step.deflection_mm);
  out.number(static_cast<std::uint32_t>(step.coarsened));
  out.text(step.unit);
  out.number(step.bodies);
  out.number(step.loose_faces);
  out.list(step.mesh.vertices);
  out.list(step.mesh.triangles);
}

void write(Writer& out, const StepChoice& choice) {
  out.number(choice.count);
  out.number(static_cast<std::uint32_t>(choice.bodies.size()));
  for (const StepBody& body : choice.bodies) {
    out.text(body.name);
    out.number(body.size_mm);
  }
}

void write(Writer& out, const StepRefusal& refusal) {
  out.text(refusal.place);
  out.text(refusal.what);
  out.text(refusal.mend);
}

StepMesh read_mesh(Reader& in) {
  StepMesh step;
  step.deflection_mm = in.number<double>();
  step.coarsened = in.number<std::uint32_t>() != 0;
  step.unit = in.text();
  step.bodies = in.number<std::uint32_t>();
  step.loose_faces = in.number<std::uint32_t>();
  step.mesh.vertices = in.list<Eigen::Vector3d>();
  step.mesh.triangles = in.list<Triangle>();
  return step;
}

StepChoice read_choice(Reader& in) {
  StepChoice choice;
  choice.count = in.number<std::uint32_t>();
  const auto told = in.number<std::uint32_t>();
  for (std::uint32_t i = 0; i < told && in.fits(1, sizeof(Eigen::Vector3d)); ++i) {
    std::string name = in.text();
    choice.bodies.push_back({std::move(name), in.number<Eigen::Vector3d>()});
  }
  return choice;
}

StepRefusal read_refusal(Reader& in) {
  StepRefusal refusal;
  refusal.place = in.text();
  refusal.what = in.text();
  refusal.mend = in.text();
  return refusal;
}

bool is_possible(const StepMesh& step) {
  const TriangleMesh& mesh = step.mesh;
  return !mesh.triangles.empty() && std::isfinite(step.deflection_mm) &&
         std::ranges::all_of(mesh.vertices, is_place) &&
         std::ranges::all_of(mesh.triangles, [&](const Triangle& corners) {
           return std::ranges::all_of(corners, [&](std::uint32_t v) { return v < mesh.vertices.size(); });
         });
}

bool is_possible(const StepChoice& choice) {
  return choice.bodies.size() >= 1 && choice.count >= choice.bodies.size();
}

bool is_possible(const StepRefusal& refusal) {
  return !refusal.what.empty();
}

}  // namespace

std::vector<std::byte> step_answer_bytes(const StepAnswer& answer) {
  Writer out;
  out.number(static_cast<std::uint32_t>(answer.index()));
  std::visit([&](const auto& told) { write(out, told); }, answer);
  return std::move(out.bytes);
}

std::optional<StepAnswer> read_step_answer(std::span<const std::byte> bytes) {
  Reader in(bytes);
  StepAnswer answer;
  switch (in.number<std::uint32_t>()) {
    case 0:
      answer = read_mesh(in);
      break;
    case 1:
      answer = read_choice(in);
      break;
    case 2:
      answer = read_refusal(in);
      break;
    default:
      return std::nullopt;
  }
  const bool possible = std::visit([](const auto& told) { return is_possible(told); }, answer);
  if (!in.sound_to_the_end() || !possible) return std::nullopt;
  return answer;
}

}  // namespace boxfettle
