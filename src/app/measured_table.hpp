// A CSV file that the person named, with what the statistics commands ask of one.
#pragma once

#include <cstddef>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "input/csv_table.hpp"
#include "input/input_error.hpp"

namespace boxfettle {

class MeasuredTable {
 public:
  // Throws InputError: no such file, no table.
  explicit MeasuredTable(const std::string& path);

  std::size_t rows() const { return table_.rows(); }
  const std::string& column_name(std::size_t column) const { return table_.columns()[column]; }
  // The column asked for, else the first of `usual` that is there, else a refusal that names the option.
  std::size_t column(const std::optional<std::string>& asked, std::initializer_list<std::string_view> usual,
                     std::string_view option) const;
  // The same, empty when it was not asked for and none of `usual` is there.
  std::optional<std::size_t> column_if_there(const std::optional<std::string>& asked,
                                             std::initializer_list<std::string_view> usual) const;
  // The one that was measured: asked for, or "value", or the only column that holds mostly numbers.
  std::size_t measured_column(const std::optional<std::string>& asked,
                              const std::vector<std::size_t>& others) const;

  // Empty where the field is. Throws InputError with the line for text, and for numbers beyond all measures.
  std::optional<double> number(std::size_t row, std::size_t column) const;
  // Fit for a terminal: control characters are shown as '?'.
  std::string text(std::size_t row, std::size_t column) const;
  InputError fault(std::size_t row, const std::string& what, const std::string& mend) const;
  const std::string& path() const { return table_.file(); }

 private:
  bool mostly_numbers(std::size_t column) const;
  CsvTable table_;
};

// What a calculation refuses is told with the file it was fed from.
template <typename Work>
auto with_file_named(const std::string& file, const Work& work) {
  try {
    return work();
  } catch (const InputError& error) {
    if (!error.file().empty()) throw;
    throw InputError(file, error.place(), error.fault(), error.mend());
  }
}

}  // namespace boxfettle
