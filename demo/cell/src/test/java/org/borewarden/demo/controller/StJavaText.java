package org.borewarden.demo.controller;

import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.borewarden.demo.controller.StProgram.Assign;
import org.borewarden.demo.controller.StProgram.Binary;
import org.borewarden.demo.controller.StProgram.Branch;
import org.borewarden.demo.controller.StProgram.Expression;
import org.borewarden.demo.controller.StProgram.If;
import org.borewarden.demo.controller.StProgram.Literal;
import org.borewarden.demo.controller.StProgram.Name;
import org.borewarden.demo.controller.StProgram.Not;
import org.borewarden.demo.controller.StProgram.Section;
import org.borewarden.demo.controller.StProgram.Statement;
import org.borewarden.demo.controller.StProgram.ToDint;
import org.borewarden.demo.controller.StProgram.Variable;

/**
 * Writes structured text as Java without parentheses; what they group is checked by comparing
 * behaviour.
 */
final class StJavaText {
  private static final Map<String, String> OPERATORS = Map.of("=", "==", "<>", "!=", "XOR", "^");

  private final List<String> out;

  StJavaText(List<String> out) {
    this.out = out;
  }

  void statement(Statement statement) {
    if (statement instanceof Assign assign) {
      out.add(name(assign.target()) + "=" + text(assign.value()) + ";");
    } else if (statement instanceof If branches) {
      boolean first = true;
      for (Branch branch : branches.branches()) {
        String head = branch.condition().map(c -> "if" + text(c) + "{").orElse("{");
        out.add((first ? "" : "else") + head);
        branch.body().forEach(this::statement);
        out.add("}");
        first = false;
      }
    }
  }

  private static String text(Expression expression) {
    if (expression instanceof Literal literal) {
      return literal.type() == StProgram.Type.WORD
          ? String.format(Locale.ROOT, "0x%04X", literal.value())
          : literal.type() == StProgram.Type.BOOL
              ? Boolean.toString(literal.value() != 0)
              : Integer.toString(literal.value());
    } else if (expression instanceof Name name) {
      return name(name.variable());
    } else if (expression instanceof Not not) {
      return "!" + text(not.operand());
    } else if (expression instanceof ToDint conversion) {
      return text(conversion.operand());
    }
    Binary binary = (Binary) expression;
    boolean bits = binary.type() == StProgram.Type.WORD;
    String operator =
        switch (binary.operator()) {
          case "AND" -> bits ? "&" : "&&";
          case "OR" -> bits ? "|" : "||";
          default -> OPERATORS.getOrDefault(binary.operator(), binary.operator());
        };
    return text(binary.left()) + operator + text(binary.right());
  }

  private static String name(Variable variable) {
    String name = variable.name();
    return variable.section() == Section.CONSTANT
        ? name.replaceAll("(?<=.)([A-Z])", "_$1").toUpperCase(Locale.ROOT)
        : name.substring(0, 1).toLowerCase(Locale.ROOT) + name.substring(1);
  }
}
