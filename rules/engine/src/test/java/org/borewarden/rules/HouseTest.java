package org.borewarden.rules;

import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAPackage;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAnyPackage;
import static com.tngtech.archunit.core.domain.properties.HasName.Predicates.name;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import org.borewarden.rules.hold.Reason;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The rooms of the engine and the arrows between them: one direction, no I/O, no threads. */
class HouseTest {
  private static final String ROOT = "org.borewarden.rules.";

  private static final JavaClasses ENGINE =
      new ClassFileImporter()
          .withImportOption(new ImportOption.DoNotIncludeTests())
          .importPackages("org.borewarden.rules");

  @ParameterizedTest(name = "{0} may use {1}")
  @CsvSource({
    "measure,",
    "reading,measure",
    "uncertainty,measure stat",
    "part,measure reading uncertainty",
    "stat,",
    "study,stat",
    "bore,reading part measure stat",
    "judge,bore part stat measure uncertainty",
    "hold,part",
    "engine,measure reading part stat bore judge watch gauge hold uncertainty"
  })
  void aRoomUsesOnlyTheRoomsItMay(String room, String rooms) {
    classes()
        .that(resideInAPackage(ROOT + room + ".."))
        .should()
        .onlyDependOnClassesThat(own(room, rooms == null ? "" : rooms).or(isOutside()))
        .check(ENGINE);
  }

  @Test
  void watchUsesTheRoomsBelowItAndOfHoldTheReasonOnly() {
    classes()
        .that(resideInAPackage(ROOT + "watch.."))
        .should()
        .onlyDependOnClassesThat(
            own("watch", "judge part stat bore measure")
                .or(isOutside())
                .or(name(Reason.class.getName())))
        .check(ENGINE);
  }

  @Test
  void everyRoomIsNamedHere() {
    classes()
        .should()
        .resideInAnyPackage(
            ROOT + "measure",
            ROOT + "uncertainty",
            ROOT + "reading",
            ROOT + "part",
            ROOT + "stat",
            ROOT + "study",
            ROOT + "bore",
            ROOT + "judge",
            ROOT + "watch",
            ROOT + "gauge",
            ROOT + "hold",
            ROOT + "engine")
        .check(ENGINE);
  }

  @Test
  void nothingReadsWritesOrStartsThreads() {
    noClasses()
        .should()
        .dependOnClassesThat(
            resideInAnyPackage(
                    "java.io..",
                    "java.nio.file..",
                    "java.nio.channels..",
                    "java.net..",
                    "java.util.concurrent..",
                    "java.util.logging..",
                    "org.slf4j..")
                .or(name(Thread.class.getName()))
                .or(name(ThreadLocal.class.getName())))
        .check(ENGINE);
  }

  /** What is not ours: the language, and the distributions in the rooms that compute with them. */
  private static DescribedPredicate<JavaClass> isOutside() {
    return resideInAnyPackage(
        "java.lang..",
        "java.math..",
        "java.time..",
        "java.util..",
        "java.nio.charset..",
        "java.security..",
        "org.jspecify..",
        "org.apache.commons.statistics..");
  }

  private static DescribedPredicate<JavaClass> own(String room, String rooms) {
    DescribedPredicate<JavaClass> may = resideInAPackage(ROOT + room + "..");
    for (String other : rooms.isEmpty() ? new String[0] : rooms.split(" ", -1)) {
      may = may.or(resideInAPackage(ROOT + other + ".."));
    }
    return may;
  }
}
