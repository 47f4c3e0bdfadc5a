package meterside;

import static com.tngtech.archunit.base.DescribedPredicate.describe;
import static com.tngtech.archunit.base.DescribedPredicate.not;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAPackage;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAnyPackage;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/** One arrow of dependency: which room may import which. */
class RoomsTest {
  private static final Map<String, Set<String>> MAY_IMPORT = new LinkedHashMap<>();
  private static JavaClasses all;

  static {
    room("job");
    room("trade", "job");
    room("picture", "job");
    room("archive", "job");
    room("intake", "archive", "picture", "job");
    room("route", "trade", "picture", "job");
    room("markup", "trade", "picture", "job");
    room("search", "archive", "trade", "picture", "job");
    room("report", "markup", "archive", "trade", "picture", "job");
    room(
        "work", "report", "search", "markup", "route", "intake", "archive", "trade", "picture",
        "job");
    // The use cases, and the values they hand out.
    room(
        "cli", "work", "report", "search", "markup", "route", "intake", "archive", "trade",
        "picture", "job");
    room(
        "desk", "work", "report", "search", "markup", "route", "intake", "archive", "trade",
        "picture", "job");
  }

  private static void room(String name, String... others) {
    MAY_IMPORT.put(name, Set.of(others));
  }

  @BeforeAll
  static void read() {
    all =
        new ClassFileImporter()
            .withImportOption(ImportOption.Predefined.DO_NOT_INCLUDE_TESTS)
            .importPackages("meterside");
  }

  @Test
  void everyPackageIsARoomOfTheTableOrTheEntryPoint() {
    Set<String> packages = new TreeSet<>();
    for (JavaClass c : all) {
      if (!c.getPackageName().equals("meterside")) {
        packages.add(c.getPackageName().substring("meterside.".length()).split("\\.")[0]);
      }
    }
    packages.removeAll(MAY_IMPORT.keySet());
    assertEquals(Set.of(), packages);
    assertTrue(all.size() > 100, "classes were read: " + all.size());
  }

  @TestFactory
  List<DynamicTest> aRoomImportsOnlyWhatItsRowSays() {
    List<DynamicTest> out = new ArrayList<>();
    MAY_IMPORT.forEach(
        (room, may) -> {
          Set<String> barred = new HashSet<>(MAY_IMPORT.keySet());
          barred.removeAll(may);
          barred.remove(room);
          String[] packages =
              barred.stream().map(r -> "meterside." + r + "..").sorted().toArray(String[]::new);
          out.add(
              DynamicTest.dynamicTest(
                  room,
                  () ->
                      noClasses()
                          .that()
                          .resideInAPackage("meterside." + room + "..")
                          .should()
                          .dependOnClassesThat(
                              resideInAnyPackage(packages).or(resideInAPackage("meterside")))
                          .allowEmptyShould(true)
                          .check(all)));
        });
    return out;
  }

  @Test
  void roomsHaveNoCycles() {
    slices().matching("meterside.(*)..").should().beFreeOfCycles().check(all);
  }

  @Test
  void theJobRoomIsPure() {
    classes()
        .that()
        .resideInAPackage("meterside.job..")
        .should()
        .onlyDependOnClassesThat(
            resideInAnyPackage(
                "meterside.job..",
                "java.lang..",
                "java.math..",
                "java.text..",
                "java.time..",
                "java.util",
                "java.util.concurrent..",
                "java.util.function..",
                "java.util.regex..",
                "java.util.stream..",
                "org.pcollections.."))
        .check(all);
  }

  @Test
  void theToolkitIsUsedOnlyByTheDeskAndTheEntryPointAndItsDecoderByThePictureRoom() {
    noClasses()
        .that(
            not(resideInAnyPackage("meterside.desk..", "meterside.picture.."))
                .and(not(resideInAPackage("meterside"))))
        .should()
        .dependOnClassesThat(resideInAPackage("javafx.."))
        .check(all);
    noClasses()
        .that()
        .resideInAPackage("meterside.picture..")
        .should()
        .dependOnClassesThat(
            resideInAPackage("javafx..")
                .and(not(resideInAnyPackage("javafx.scene.image..", "javafx.embed.swing.."))))
        .check(all);
  }

  /** Commands and views act through the use cases: what writes or solves is not theirs to call. */
  @Test
  void commandsAndViewsActThroughTheUseCases() {
    Set<String> workers =
        Set.of(
            "meterside.archive.JournalWriter",
            "meterside.archive.Originals",
            "meterside.archive.EditCodec",
            "meterside.intake.Intake",
            "meterside.route.Sorter",
            "meterside.search.LucenePastJobs",
            "meterside.report.ReportWriter");
    noClasses()
        .that()
        .resideInAnyPackage("meterside.cli..", "meterside.desk..")
        .should()
        .dependOnClassesThat(
            describe("write or solve", (JavaClass c) -> workers.contains(c.getName())))
        .allowEmptyShould(true)
        .check(all);
  }

  @Test
  void onlyTheUseCasesWriteJournals() {
    noClasses()
        .that(not(resideInAnyPackage("meterside.archive..", "meterside.work..")))
        .should()
        .dependOnClassesThat(
            describe(
                "write journals",
                (JavaClass c) -> c.getName().equals("meterside.archive.JournalWriter")))
        .check(all);
  }
}
